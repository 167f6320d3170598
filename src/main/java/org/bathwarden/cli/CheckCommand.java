package org.bathwarden.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.config.Problem;
import org.bathwarden.dosing.Pair;
import org.bathwarden.face.ProofsPayload;
import org.bathwarden.record.RecordException;
import org.bathwarden.service.LiveCheck;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Reads a configuration as the service would, and on demand the lines behind it. */
@Command(
    name = "check",
    mixinStandardHelpOptions = true,
    description =
        "Checks a configuration and prints what each tank may do by itself. With --live also reads"
            + " every point from the lines; nothing is written to them.")
public final class CheckCommand implements Callable<Integer> {

  @Option(names = "--config", required = true, paramLabel = "F", description = "configuration")
  private Path config = Path.of("");

  @Option(names = "--live", description = "also read every point from the lines")
  private boolean live;

  @Option(
      names = "--wait",
      paramLabel = "T",
      description = "with --live: how long a line is tried (default ${DEFAULT-VALUE})")
  private String wait = "20s";

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  @Spec private CommandSpec spec = CommandSpec.create();

  /**
   * 0 if the configuration is sound and, with {@code --live}, every tank's wiring is proved and
   * none of its points is bad.
   */
  @Override
  public Integer call() throws InterruptedException {
    Duration connectMax = Durations.parse(spec, "--wait", wait);
    Configuration configuration;
    try {
      configuration = ConfigReader.read(config, System.getenv());
    } catch (ConfigException e) {
      refused(e.problems());
      return 1;
    }
    List<Map<String, Object>> tanks = new ArrayList<>();
    Map<String, List<String>> again = proveAgain(configuration);
    LiveSummary summary = new LiveSummary();
    for (Configuration.Line line : configuration.lines()) {
      Map<String, LiveCheck.Checked> found = new LinkedHashMap<>();
      String failure = live ? look(line, connectMax, found) : "";
      for (Configuration.Tank tank : line.tanks()) {
        Map<String, Object> data = TankCheck.settings(line, tank);
        data.put("prove_again", again.getOrDefault(tank.id().name(), List.of()));
        if (live) {
          LiveCheck.Checked checked = found.get(tank.id().name());
          summary.add(Optional.ofNullable(checked));
          data.put(
              "live",
              checked == null
                  ? Map.of("link", "down: " + failure, "wiring_proved", false)
                  : LiveTable.of(checked, Instant.now()));
        }
        tanks.add(data);
      }
    }
    print(configuration, tanks, summary);
    return summary.ready() ? 0 : 1;
  }

  /** What the record has as proved and this configuration changes, by tank. */
  private static Map<String, List<String>> proveAgain(Configuration configuration) {
    Map<String, List<String>> again = new LinkedHashMap<>();
    if (!Files.isRegularFile(configuration.record())) {
      return again;
    }
    try {
      for (ProofsPayload tank : ProveCommand.recorded(configuration)) {
        again.put(
            tank.tank(),
            tank.items().stream()
                .filter(item -> item.changed().isPresent())
                .map(item -> item.item() + " (" + item.changed().get() + ")")
                .toList());
      }
    } catch (RecordException e) {
      configuration.tanks().forEach(tank -> again.put(tank.id().name(), List.of(e.getMessage())));
    }
    return again;
  }

  /** Looks at a line; returns why that was not possible, or nothing. */
  private static String look(
      Configuration.Line line, Duration connectMax, Map<String, LiveCheck.Checked> found)
      throws InterruptedException {
    try {
      for (LiveCheck.Checked checked : new LiveCheck(Clock.systemUTC(), connectMax).of(line)) {
        found.put(checked.tank().name(), checked);
      }
      return "";
    } catch (IOException e) {
      return String.valueOf(e.getMessage());
    }
  }

  private void refused(List<Problem> problems) {
    if (json) {
      JsonOut.print(
          spec.commandLine().getOut(),
          Map.of("sound", false, "problems", problems.stream().map(CheckCommand::data).toList()));
    } else {
      problems.forEach(problem -> spec.commandLine().getErr().println(problem));
    }
  }

  private void print(
      Configuration configuration, List<Map<String, Object>> tanks, LiveSummary summary) {
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> data = new LinkedHashMap<>();
      data.put("sound", true);
      data.put("site", configuration.site());
      data.put("instance", configuration.pair().instance());
      data.put("peers", configuration.pair().peers().stream().sorted().toList());
      data.put("takeover", takeover(configuration.pair()));
      data.put("fingerprint", configuration.fingerprint());
      data.put("problems", configuration.warnings().stream().map(CheckCommand::data).toList());
      data.put("tanks", tanks);
      if (live) {
        data.put("live", summary.data());
      }
      JsonOut.print(out, data);
      return;
    }
    configuration.warnings().forEach(out::println);
    out.printf(
        "%s: %s, instance %d%s%nsettings %s: the fingerprint of this file and its chemistry sheets, kept"
            + " with every decision%n",
        config,
        configuration.site(),
        configuration.pair().instance(),
        others(configuration.pair()),
        configuration.fingerprint());
    tanks.forEach(tank -> TankCheck.print(out, tank));
    if (live) {
      out.println();
      out.println(summary.words());
    }
    out.flush();
  }

  /** The others on the lines, and when this one takes over; nothing if it is alone. */
  private static String others(Pair pair) {
    return pair.shared()
        ? ", beside "
            + pair.peers().stream().sorted().map(String::valueOf).collect(Collectors.joining(", "))
            + ", takeover "
            + takeover(pair)
        : "";
  }

  private static String takeover(Pair pair) {
    return pair.takeover().name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private static Map<String, Object> data(Problem problem) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("severity", problem.severity().name().toLowerCase(java.util.Locale.ROOT));
    data.put("file", problem.file());
    data.put("line", problem.line());
    data.put("path", problem.path());
    data.put("found", problem.found());
    data.put("allowed", problem.allowed());
    return data;
  }
}
