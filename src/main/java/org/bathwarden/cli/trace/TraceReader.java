package org.bathwarden.cli.trace;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.estimate.EstimatorSheet;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/** Reads a trace folder: about.json, samples.csv, events.csv. */
public final class TraceReader {

  private static final String SAMPLES =
      "time,level_l,temperature_c,conductivity_ms_cm,ph,concentrate_total_l,water_total_l,"
          + "loads_total";
  private static final String EVENTS = "entered_at,happened_at,kind,value,unit,note";

  private TraceReader() {}

  /**
   * Reads the trace in {@code folder}.
   *
   * @throws TraceProblem if a file is missing or something in it is not allowed
   */
  public static Trace read(Path folder) throws TraceProblem {
    if (!Files.isDirectory(folder)) {
      throw new TraceProblem(folder, "is not a folder with about.json, samples.csv, events.csv");
    }
    Path absolute = folder.toAbsolutePath().normalize();
    String name = Optional.ofNullable(absolute.getFileName()).map(Path::toString).orElse("trace");
    EstimatorSheet sheet = About.read(folder.resolve("about.json"));
    CsvFile samples = new CsvFile(folder.resolve("samples.csv"), SAMPLES);
    CsvFile events = new CsvFile(folder.resolve("events.csv"), EVENTS);
    return new Trace(name, sheet, rows(samples), entries(events, sheet));
  }

  private static List<Trace.Row> rows(CsvFile file) throws TraceProblem {
    List<Trace.Row> rows = new ArrayList<>();
    Total concentrate = new Total();
    Total water = new Total();
    Total loads = new Total();
    Instant last = Instant.MIN;
    for (int i = 0; i < file.size(); i++) {
      Instant at = file.instant(i, "time");
      if (at.isBefore(last)) {
        throw file.problem(i, "time lies before the row above, allowed are rows in order of time");
      }
      last = at;
      rows.add(
          new Trace.Row(
              file.cell(i, "time"),
              new Sample(
                  at,
                  file.numberOrNaN(i, "level_l"),
                  file.numberOrNaN(i, "temperature_c"),
                  file.numberOrNaN(i, "conductivity_ms_cm"),
                  file.numberOrNaN(i, "ph"),
                  1000 * concentrate.since(file.numberOrNaN(i, "concentrate_total_l")),
                  1000 * water.since(file.numberOrNaN(i, "water_total_l")),
                  loads.since(file.numberOrNaN(i, "loads_total")),
                  true,
                  true)));
    }
    if (rows.isEmpty()) {
      throw new TraceProblem(Path.of("samples.csv"), "has no rows, allowed is one or more");
    }
    return rows;
  }

  /** A totalizer: differences count, a fall is a reset, gaps are bridged. */
  private static final class Total {
    private double last = Double.NaN;

    double since(double total) {
      if (Double.isNaN(total)) {
        return 0;
      }
      double flowed = Double.isNaN(last) ? 0 : total >= last ? total - last : total;
      last = total;
      return flowed;
    }
  }

  private static List<Entry> entries(CsvFile file, EstimatorSheet sheet) throws TraceProblem {
    List<Entry> entries = new ArrayList<>();
    Instant last = Instant.MIN;
    for (int i = 0; i < file.size(); i++) {
      Instant entered = file.instant(i, "entered_at");
      Instant happened = file.instant(i, "happened_at");
      if (entered.isBefore(last)) {
        throw file.problem(
            i, "entered_at lies before the row above, allowed are rows in its order");
      }
      if (happened.isAfter(entered)) {
        throw file.problem(i, "happened_at lies after entered_at, allowed is at or before it");
      }
      last = entered;
      TankId tank = sheet.tank().id();
      Stamp stamp =
          new Stamp(
              String.format("row-%06d", i + 1),
              tank,
              "trace",
              Stamp.Channel.FILE,
              entered,
              happened);
      entries.add(entry(file, i, stamp, sheet));
    }
    return entries;
  }

  private static Entry entry(CsvFile file, int row, Stamp stamp, EstimatorSheet sheet)
      throws TraceProblem {
    String kind = file.cell(row, "kind");
    return switch (kind) {
      case "titration" -> titration(file, row, stamp, sheet);
      case "added_concentrate" -> added(file, row, stamp, Product.CONCENTRATE);
      case "added_water" -> added(file, row, stamp, Product.WATER);
      case "drained" -> new Entry.Removal(stamp, positive(file, row, "L"), "drained");
      case "charged" -> {
        double pct = positive(file, row, "pct");
        // Mixing by can and drum is good to about 5 % (common practice, no source).
        yield new Entry.Charge(stamp, pct, 0.05 * pct);
      }
      case "probe_cleaned" -> new Entry.ProbeCare(stamp, probe(file, row), false);
      case "probe_replaced" -> new Entry.ProbeCare(stamp, probe(file, row), true);
      default ->
          throw file.problem(
              row,
              "kind is \""
                  + kind
                  + "\", allowed are titration, added_concentrate, added_water, "
                  + "drained, charged, probe_cleaned, probe_replaced");
    };
  }

  private static Entry titration(CsvFile file, int row, Stamp stamp, EstimatorSheet sheet)
      throws TraceProblem {
    String unit = file.cell(row, "unit");
    double value = file.numberOrNaN(row, "value");
    if (!(value >= 0)) {
      throw file.problem(row, "value is \"" + file.cell(row, "value") + "\", allowed is 0 or more");
    }
    Entry.Titration.Unit parsed =
        switch (unit) {
          case "drops" -> Entry.Titration.Unit.DROPS;
          case "pct" -> Entry.Titration.Unit.PCT;
          default -> throw file.problem(row, "unit is \"" + unit + "\", allowed are drops and pct");
        };
    return new Entry.Titration(
        stamp,
        value,
        parsed,
        sheet.tank().chemistry().endPoint(),
        Double.NaN,
        file.cell(row, "note"));
  }

  private static Entry added(CsvFile file, int row, Stamp stamp, Product product)
      throws TraceProblem {
    return new Entry.Addition(stamp, product, positive(file, row, "L"), false, Optional.empty());
  }

  private static double positive(CsvFile file, int row, String unit) throws TraceProblem {
    if (!file.cell(row, "unit").equals(unit)) {
      throw file.problem(row, "unit is \"" + file.cell(row, "unit") + "\", allowed is " + unit);
    }
    double value = file.numberOrNaN(row, "value");
    if (!(value > 0 && Double.isFinite(value))) {
      throw file.problem(
          row, "value is \"" + file.cell(row, "value") + "\", allowed is a number above 0");
    }
    return value;
  }

  private static String probe(CsvFile file, int row) throws TraceProblem {
    String unit = file.cell(row, "unit");
    if (!unit.equals("conductivity") && !unit.equals("ph")) {
      throw file.problem(row, "unit is \"" + unit + "\", allowed are conductivity and ph");
    }
    return unit;
  }
}
