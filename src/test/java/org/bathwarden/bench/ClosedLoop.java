package org.bathwarden.bench;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;
import org.bathwarden.bench.ControllerRun.Outcome;
import org.bathwarden.bench.ControllerRun.Watched;
import org.bathwarden.simulator.policy.Disturbance;
import org.bathwarden.simulator.policy.Policies;
import org.bathwarden.simulator.policy.PolicyRun;
import org.bathwarden.simulator.policy.Score;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/**
 * The closed-loop bench: the whole controller and plainer ways of dosing on the same disturbances.
 * Judged by what is really in the bath, not by titrations.
 */
@Command(name = "closed-loop", mixinStandardHelpOptions = true)
final class ClosedLoop implements Runnable {

  private static final String CONTROLLER = "controller";

  @Option(names = "--days", description = "simulated days (default: ${DEFAULT-VALUE})")
  private int days = 14;

  @Option(names = "--only", split = ",", description = "names of disturbances; all without it")
  private List<String> only = List.of();

  @Option(names = "--seed-offset", description = "added to every seed, for other chance")
  private long seedOffset;

  @Option(
      names = "--scan-s",
      description = "a pass of the controller each so many seconds (default: ${DEFAULT-VALUE})")
  private int scanS = 1;

  @Option(names = "--out", description = "folder of results (default: ${DEFAULT-VALUE})")
  private Path out = Path.of("target", "closed-loop");

  /** One row of the table. */
  record Row(String disturbance, String policy, Score score, double yardstickL) {

    /** Concentrate used against the all-knowing policy, %. */
    double morePct() {
      return 100 * (score.concentrateL() / yardstickL - 1);
    }
  }

  public static void main(String[] arguments) {
    System.exit(new CommandLine(new ClosedLoop()).execute(arguments));
  }

  @Override
  public void run() {
    List<Row> rows = new ArrayList<>();
    List<String> notes = new ArrayList<>();
    try {
      Files.createDirectories(out);
      for (Disturbance site : Disturbance.all()) {
        if (only.isEmpty() || only.contains(site.name())) {
          run(site.reseeded(seedOffset), rows, notes);
        }
      }
      Files.writeString(out.resolve("closed-loop.csv"), csv(rows));
      String table =
          markdown(rows) + "\n" + String.join("\n", notes) + "\n\n" + verdict(rows) + "\n";
      Files.writeString(out.resolve("closed-loop.md"), table);
      System.out.print(table);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private void run(Disturbance site, List<Row> rows, List<String> notes) throws IOException {
    Score yardstick = PolicyRun.run(site, Policies.ALL_KNOWING, 24 * days);
    System.err.printf("%s: controller, %d days%n", site.name(), days);
    try (PrintWriter trail =
        new PrintWriter(Files.newBufferedWriter(out.resolve(site.name() + ".csv")))) {
      Outcome outcome = ControllerRun.run(site, 24 * days, scanS, new Trail(trail, days));
      rows.add(new Row(site.name(), CONTROLLER, outcome.score(), yardstick.concentrateL()));
      notes.add(note(site.name(), outcome.watched(), site.targetPct()));
    }
    for (Policies policy : Policies.values()) {
      Score score =
          policy == Policies.ALL_KNOWING ? yardstick : PolicyRun.run(site, policy, 24 * days);
      rows.add(new Row(site.name(), policy.words(), score, yardstick.concentrateL()));
    }
    rows.stream()
        .filter(r -> r.disturbance().equals(site.name()))
        .forEach(r -> System.err.println(line(r)));
  }

  private static String note(String name, Watched w, double targetPct) {
    return String.format(
        Locale.ROOT,
        "- %s: %d titrations, %d of them repeats; %d orders; trips %s, %d resets;"
            + " estimate off by %.2f %% of target (RMS), its interval right %.1f %% of the time;"
            + " %.0f µs of one core in a pass",
        name,
        w.titrations,
        w.repeats,
        w.orders,
        w.trips,
        w.resets,
        100 * Math.sqrt(w.squares / w.passes) / targetPct,
        100.0 * w.covered / w.passes,
        w.usPerPass());
  }

  private static String csv(List<Row> rows) {
    StringBuilder text =
        new StringBuilder(
            "disturbance,policy,in_band_pct,mean_off_pct,worst_pct,overdoses,concentrate_l,"
                + "concentrate_more_pct\n");
    for (Row r : rows) {
      text.append(
          String.format(
              Locale.ROOT,
              "%s,\"%s\",%.3f,%.3f,%.2f,%d,%.2f,%.2f%n",
              r.disturbance(),
              r.policy(),
              r.score().inBandPct(),
              r.score().meanPct(),
              r.score().worstPct(),
              r.score().overdoses(),
              r.score().concentrateL(),
              r.morePct()));
    }
    return text.toString();
  }

  private static String markdown(List<Row> rows) {
    StringBuilder text =
        new StringBuilder(
            "| disturbance | policy | in band % | mean off % | worst % | overdoses | concentrate L |"
                + " against all-knowing % |\n| --- | --- | --- | --- | --- | --- | --- | --- |\n");
    rows.forEach(row -> text.append(line(row)).append('\n'));
    return text.toString();
  }

  private static String line(Row r) {
    return String.format(
        Locale.ROOT,
        "| %s | %s | %.2f | %.2f | %+.1f | %d | %.1f | %+.1f |",
        r.disturbance(),
        r.policy(),
        r.score().inBandPct(),
        r.score().meanPct(),
        r.score().worstPct(),
        r.score().overdoses(),
        r.score().concentrateL(),
        r.morePct());
  }

  /** How many disturbances meet each aim. */
  private static String verdict(List<Row> rows) {
    List<Row> ours = rows.stream().filter(r -> r.policy().equals(CONTROLLER)).toList();
    return String.format(
        Locale.ROOT,
        "Of %d disturbances: in band at least 99.8 %% of the time in %d; mean off at most 1.5 %% in"
            + " %d; no overdose in %d; concentrate within 3 %% of the all-knowing policy's in %d;"
            + " ahead of every other policy in %d.",
        ours.size(),
        count(ours, r -> r.score().inBandPct() >= 99.8),
        count(ours, r -> r.score().meanPct() <= 1.5),
        count(ours, r -> r.score().overdoses() == 0),
        count(ours, r -> Math.abs(r.morePct()) <= 3),
        count(ours, r -> ahead(r, rows)));
  }

  private static long count(List<Row> rows, Predicate<Row> which) {
    return rows.stream().filter(which).count();
  }

  /** Nearer to the target, and not less in band, than each policy that knows no more. */
  private static boolean ahead(Row ours, List<Row> rows) {
    return rows.stream()
        .filter(r -> r.disturbance().equals(ours.disturbance()))
        .filter(r -> r != ours && !r.policy().equals(Policies.ALL_KNOWING.words()))
        .allMatch(
            r ->
                ours.score().meanPct() < r.score().meanPct()
                    && ours.score().inBandPct() >= r.score().inBandPct());
  }
}
