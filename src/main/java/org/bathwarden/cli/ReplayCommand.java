package org.bathwarden.cli;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.bathwarden.cli.trace.Trace;
import org.bathwarden.cli.trace.TraceProblem;
import org.bathwarden.cli.trace.TraceReader;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.estimate.Finding;
import org.bathwarden.tank.Entry;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Runs the estimator over recorded traces, with nothing known before its time. */
@Command(
    name = "replay",
    mixinStandardHelpOptions = true,
    description =
        "Runs the estimator over recorded traces and writes estimates.csv and findings.csv for each"
            + " into OUT/<trace>.")
public final class ReplayCommand implements Callable<Integer> {

  @Option(
      names = "--trace",
      required = true,
      paramLabel = "DIR",
      description = "folder with about.json, samples.csv and events.csv; repeatable")
  private List<Path> traces = List.of();

  @Option(
      names = "--out",
      required = true,
      paramLabel = "DIR",
      description = "folder to write to; made if missing")
  private Path out = Path.of("");

  @Spec private CommandSpec spec = CommandSpec.create();

  /** Runs all traces; 0 if every one was written, 1 otherwise. */
  @Override
  public Integer call() {
    int failed = 0;
    for (Path folder : traces) {
      try {
        Trace trace = TraceReader.read(folder);
        Path to = out.resolve(trace.name());
        Files.createDirectories(to);
        write(to, trace);
        console().println(to.resolve("estimates.csv") + ": " + trace.rows().size() + " rows");
      } catch (TraceProblem e) {
        spec.commandLine().getErr().println(e.getMessage());
        failed++;
      } catch (IOException e) {
        spec.commandLine().getErr().println(out + ": cannot be written: " + e);
        failed++;
      }
    }
    return failed == 0 ? 0 : 1;
  }

  private PrintWriter console() {
    return spec.commandLine().getOut();
  }

  private static void write(Path folder, Trace trace) throws IOException {
    try (BufferedWriter writer =
            Files.newBufferedWriter(folder.resolve("estimates.csv"), StandardCharsets.UTF_8);
        BufferedWriter found =
            Files.newBufferedWriter(folder.resolve("findings.csv"), StandardCharsets.UTF_8)) {
      writer.write("time,concentration_pct,low95_pct,high95_pct,volume_l,flags\n");
      found.write("time,kind,detail\n");
      long said = 0;
      EstimateState state = Estimator.start(trace.sheet(), trace.rows().get(0).sample().at());
      int next = 0;
      for (Trace.Row row : trace.rows()) {
        List<Entry> entered = new ArrayList<>();
        while (next < trace.entries().size()
            && !trace.entries().get(next).stamp().enteredAt().isAfter(row.sample().at())) {
          entered.add(trace.entries().get(next++));
        }
        state = Estimator.run(trace.sheet(), state, row.sample(), entered);
        writer.write(line(row.time(), Estimator.estimate(trace.sheet(), state)));
        for (Finding finding : state.findings()) {
          if (finding.number() > said) {
            said = finding.number();
            found.write(line(row.time(), finding));
          }
        }
      }
    }
  }

  private static String line(String time, Finding finding) {
    return time + "," + finding.kind().word() + ",\"" + finding.detail() + "\"\n";
  }

  private static String line(String time, Estimate estimate) {
    String flags =
        estimate.flags().stream()
            .map(flag -> flag.word())
            .sorted()
            .collect(Collectors.joining(" "));
    return String.format(
        Locale.ROOT,
        "%s,%.4f,%.4f,%.4f,%.2f,%s\n",
        time,
        estimate.concentrationPct(),
        estimate.low95Pct(),
        estimate.high95Pct(),
        estimate.volumeL(),
        flags);
  }
}
