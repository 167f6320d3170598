package org.bathwarden.cli;

import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.bathwarden.tank.Mode;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Runs simulator, controller and broker together and tells what happens. */
@Command(
    name = "demo",
    description =
        "Runs a simulated line, the controller and a broker together, on real sockets, and tells"
            + " what happens. Ends with 0 if every tank came into band and stayed, a titration was"
            + " taken, and an alarm was raised, acknowledged and cleared.",
    mixinStandardHelpOptions = true)
final class DemoCommand implements Callable<Integer> {

  @Option(
      names = "--for",
      defaultValue = "60s",
      description = "How long, real time at full speed (${DEFAULT-VALUE}).")
  private String lasts = "60s";

  @Option(
      names = "--speed",
      defaultValue = "600",
      description = "Most simulated seconds in a real one (${DEFAULT-VALUE}).")
  private double speed = 600;

  @Option(
      names = "--port-base",
      defaultValue = "0",
      description = "Modbus TCP here, OPC UA one above, MQTT two above; 0 takes free ones.")
  private int portBase;

  @Option(names = "--seed", defaultValue = "7", description = "Seed of all chance.")
  private long seed = 7;

  @Option(
      names = "--mode",
      defaultValue = "command",
      description = "Highest mode of all tanks: off, propose or command (${DEFAULT-VALUE}).")
  private Mode mode = Mode.COMMAND;

  @Option(
      names = "--broker",
      description = "A broker of your own, tcp://host:port, instead of the embedded one.")
  private Optional<String> broker = Optional.empty();

  @Option(
      names = "--summary",
      description = "File for the summary as JSON; else it goes into the demo's folder.")
  private Optional<Path> summary = Optional.empty();

  @Spec private CommandSpec spec;

  @Override
  public Integer call() throws Exception {
    Duration span = Durations.parse(spec, "--for", lasts);
    if (!(speed > 0 && speed <= 100_000)) {
      throw new ParameterException(spec.commandLine(), "--speed must be above 0, up to 100000");
    }
    if (portBase < 0 || portBase > 65_533) {
      throw new ParameterException(spec.commandLine(), "--port-base must be 0 to 65533");
    }
    PrintWriter out = spec.commandLine().getOut();
    Path folder = Files.createTempDirectory("bathwarden-demo");
    Path file = summary.orElse(folder.resolve("summary.json"));
    try (Demo demo =
        new Demo(new Demo.Settings(seed, mode, portBase, broker, speed, span), folder, out)) {
      return demo.run(file) ? 0 : 1;
    }
  }
}
