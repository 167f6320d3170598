package org.bathwarden.simulator.scenario;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedWriter;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.physics.Plant;
import org.bathwarden.simulator.physics.TankType;
import org.bathwarden.simulator.physics.Truth;

/**
 * Records one simulated tank in the trace format: about.json, samples.csv once a minute,
 * events.csv, and beside them what really happened: truth.csv and truth_findings.csv.
 */
final class TraceWriter {

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ssxxx", Locale.ROOT);
  private static final double MISSING_SHARE = 0.0005;

  private final TraceCase what;
  private final ShopFloor floor;
  private final SplittableRandom random;
  private final long concentrateBeforeL;
  private final long waterBeforeL;
  private final long loadsBefore;

  private TraceWriter(TraceCase what) {
    this.what = what;
    this.floor = new ShopFloor(what.scenario(), what.scenario().seed());
    this.random = new SplittableRandom(what.scenario().seed() + 1);
    this.concentrateBeforeL = random.nextLong(10_000);
    this.waterBeforeL = random.nextLong(100_000);
    this.loadsBefore = random.nextLong(500_000);
  }

  /** Runs {@code what} for {@code minutes} and writes its trace into {@code folder}. */
  static void write(TraceCase what, int minutes, Path folder) throws IOException {
    new TraceWriter(what).run(minutes, Files.createDirectories(folder));
  }

  private void run(int minutes, Path folder) throws IOException {
    Files.writeString(folder.resolve("about.json"), about());
    Site site = new Site(what, floor, random.split());
    try (BufferedWriter samples = Files.newBufferedWriter(folder.resolve("samples.csv"));
        BufferedWriter truth = Files.newBufferedWriter(folder.resolve("truth.csv"))) {
      samples.write(
          "time,level_l,temperature_c,conductivity_ms_cm,ph,"
              + "concentrate_total_l,water_total_l,loads_total\n");
      truth.write("time,concentration_pct,volume_l\n");
      for (int minute = 0; minute <= minutes; minute++) {
        OffsetDateTime now = what.scenario().start().plusMinutes(minute);
        samples.write(sample(now));
        Truth real = floor.truth(0);
        truth.write(
            line("%s,%.4f,%.1f", TIME.format(now), real.concentrationPct(), real.volumeL()));
        site.minute(minute, now);
        minute(site);
      }
    }
    OffsetDateTime end = what.scenario().start().plusMinutes(minutes);
    writeEvents(folder, site.entries(), end);
    writeFindings(folder, site.findings());
  }

  private void minute(Site site) {
    for (int second = 0; second < 60; second++) {
      List<Actuators> driven = List.of(site.actuators());
      for (int i = 0; i < 10; i++) {
        floor.step(0.1, driven);
      }
    }
  }

  private String sample(OffsetDateTime now) {
    FieldSignals seen = floor.signals(0);
    return line(
        "%s,%s,%s,%s,%s,%.2f,%.0f,%d",
        TIME.format(now),
        cell("%.0f", seen.levelL()),
        cell("%.1f", seen.temperatureC()),
        cell("%.2f", seen.conductivityMsCm()),
        cell("%.2f", seen.ph()),
        concentrateBeforeL + seen.concentrateMl() / 1000.0,
        waterBeforeL + seen.waterMl() / 1000.0,
        loadsBefore + seen.loads());
  }

  private String cell(String format, double value) {
    boolean missing = Double.isNaN(value) || random.nextDouble() < MISSING_SHARE;
    return missing ? "" : String.format(Locale.ROOT, format, value);
  }

  private static String line(String format, Object... values) {
    return String.format(Locale.ROOT, format, values) + "\n";
  }

  private static void writeEvents(Path folder, List<Site.Entry> entries, OffsetDateTime end)
      throws IOException {
    StringBuilder text = new StringBuilder("entered_at,happened_at,kind,value,unit,note\n");
    entries.stream()
        .filter(e -> !e.enteredAt().isAfter(end))
        .sorted(Comparator.comparing(Site.Entry::enteredAt))
        .forEach(
            e ->
                text.append(
                    line(
                        "%s,%s,%s,%s,%s,%s",
                        TIME.format(e.enteredAt()),
                        TIME.format(e.happenedAt()),
                        e.kind(),
                        e.value(),
                        e.unit(),
                        e.note())));
    Files.writeString(folder.resolve("events.csv"), text);
  }

  private static void writeFindings(Path folder, List<Site.Finding> findings) throws IOException {
    StringBuilder text = new StringBuilder("time_start,time_end,kind,detail\n");
    findings.stream()
        .sorted(Comparator.comparing(Site.Finding::from))
        .forEach(
            f ->
                text.append(
                    line(
                        "%s,%s,%s,\"%s\"",
                        TIME.format(f.from()), TIME.format(f.to()), f.kind(), f.detail())));
    Files.writeString(folder.resolve("truth_findings.csv"), text);
  }

  private String about() throws IOException {
    Plant plant = what.scenario().plant(0);
    TankType.Geometry geometry = plant.type().geometry();
    double target = plant.charge().targetPct();
    double setpoint = plant.type().heating().setpointC();
    ObjectMapper mapper = new ObjectMapper();
    ObjectNode about = mapper.createObjectNode();
    about
        .putObject("tank")
        .put("name", floor.name(0))
        .put("working_volume_l", geometry.workingL())
        .put("max_volume_l", round(geometry.maxL(), 1))
        .put("min_volume_l", round(0.7 * geometry.workingL(), 1))
        .put("surface_area_m2", geometry.surfaceM2());
    about.put("target_pct", target);
    about.put("low_pct", round(what.lowPct(), 2));
    about.put("high_pct", round(what.highPct(), 2));
    about.put("temperature_setpoint_c", setpoint);
    ArrayNode calibration = about.putArray("calibration");
    for (double share : new double[] {0.5, 0.75, 1.0, 1.25, 1.5}) {
      calibrate(calibration, share * target, setpoint);
    }
    calibrate(calibration, target, 25.0);
    calibrate(calibration, target, setpoint - 12.0);
    calibrate(calibration, 0.6 * target, setpoint - 12.0);
    about.putObject("titration").put("pct_per_drop", what.pctPerDrop());
    about.put("drag_out_l_per_load_guess", plant.loads().dragOutL());
    double known = floor.truth(0).concentrationPct() * (1.0 + 0.025 * random.nextGaussian());
    about.put("start_concentration_pct", round(known, 2));
    about.put("start_concentration_u_pct", round(0.03 * target, 2));
    return mapper.writerWithDefaultPrettyPrinter().writeValueAsString(about) + "\n";
  }

  /** A fresh mixture measured as well as a good bench instrument does: half a percent. */
  private void calibrate(ArrayNode into, double pct, double temperatureC) {
    double read =
        floor.freshConductivityMsCm(0, pct, temperatureC) * (1.0 + 0.005 * random.nextGaussian());
    into.addObject()
        .put("concentration_pct", round(pct, 3))
        .put("temperature_c", temperatureC)
        .put("conductivity_ms_cm", round(read, 1));
  }

  private static double round(double value, int digits) {
    double scale = Math.pow(10.0, digits);
    return Math.rint(value * scale) / scale;
  }
}
