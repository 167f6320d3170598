package org.bathwarden.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PrintWriter;
import java.net.InetAddress;
import java.nio.charset.Charset;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.bathwarden.simulator.RemoteIoSimulation;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.SimulatedPlant;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.simulator.scenario.ScenarioException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Runs the simulated line alone, for anything that wants to talk to a PLC. */
@Command(
    name = "simulate",
    description =
        "Runs a simulated line alone, over Modbus TCP, Modbus RTU frames over TCP and OPC UA at"
            + " once. Its OPC UA knows no"
            + " security: the controller's connection needs security: none. With --remote-io a line"
            + " without a PLC program. In scaled time both sides"
            + " take the same --speed.",
    mixinStandardHelpOptions = true)
final class SimulateCommand implements Callable<Integer> {

  /** The bundled scenarios, for the help. */
  static final class Names extends ArrayList<String> {
    private static final long serialVersionUID = 1L;

    Names() {
      super(Scenario.BUNDLED);
    }
  }

  private static final long LOOK_MS = 100;

  @Option(
      names = "--scenario",
      required = true,
      completionCandidates = Names.class,
      description = "A scenario file, or the name of a bundled one: ${COMPLETION-CANDIDATES}.")
  private String scenario = "";

  @Option(names = "--speed", defaultValue = "1", description = "Simulated seconds in a real one.")
  private double speed = 1;

  @Option(names = "--for", description = "How long, real time; without it until it is stopped.")
  private Optional<String> lasts = Optional.empty();

  @Option(
      names = "--port-base",
      defaultValue = "1502",
      description =
          "Modbus TCP here, OPC UA one above, frames of Modbus RTU over TCP two above"
              + " (${DEFAULT-VALUE}); 0 takes free ones.")
  private int portBase = 1502;

  @Option(
      names = "--bind",
      defaultValue = "127.0.0.1",
      description = "Address to listen on (${DEFAULT-VALUE}).")
  private String bind = "127.0.0.1";

  @Option(names = "--seed", description = "Seed of all chance; else the scenario's own.")
  private Optional<Long> seed = Optional.empty();

  @Option(
      names = "--remote-io",
      description =
          "In place of a PLC a remote I/O module for each tank, unit 1 and up, on Modbus TCP: coils,"
              + " discrete inputs and registers as in config/example-pulse.yaml.")
  private boolean remoteIo;

  @Option(
      names = "--hand",
      description =
          "Take what happens on the floor from the standard input, a line each: NAME TANK [SIZE]"
              + " starts a fault of a scenario or does a deed, end NAME TANK ends a fault. permit-loss"
              + " 1 3 takes permit bit 3, drain closed, from tank 1.")
  private boolean hand;

  @Spec private CommandSpec spec;

  @Override
  public Integer call() throws Exception {
    if (!(speed > 0 && speed <= 100_000)) {
      throw new ParameterException(spec.commandLine(), "--speed must be above 0, up to 100000");
    }
    Optional<Duration> span = lasts.map(text -> Durations.parse(spec, "--for", text));
    Scenario read;
    try {
      Path file = Path.of(scenario);
      read = Files.exists(file) ? Scenario.read(file) : Scenario.bundled(scenario);
    } catch (ScenarioException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return 1;
    }
    PrintWriter out = spec.commandLine().getOut();
    try (SimulatedPlant plant = open(read, out)) {
      out.printf("%d tanks, %s times real time%n", read.tanks().size(), speed);
      out.flush();
      plant.runScaled(speed);
      FloorHand floor = new FloorHand(plant);
      BufferedReader in =
          new BufferedReader(new InputStreamReader(System.in, Charset.defaultCharset()));
      long end = System.nanoTime() + span.map(Duration::toNanos).orElse(Long.MAX_VALUE / 2);
      CountDownLatch never = new CountDownLatch(1);
      while (System.nanoTime() - end < 0 && !never.await(LOOK_MS, TimeUnit.MILLISECONDS)) {
        while (hand && in.ready()) {
          out.println(floor.act(in.readLine()));
          out.flush();
        }
      }
    }
    return 0;
  }

  private SimulatedPlant open(Scenario read, PrintWriter out) throws IOException {
    InetAddress address = InetAddress.getByName(bind);
    long chance = seed.orElse(read.seed());
    if (remoteIo) {
      RemoteIoSimulation modules = RemoteIoSimulation.open(read, chance, address, portBase);
      out.printf(
          "remote I/O  %s:%d (Modbus TCP, a module for each tank: unit 1 to %d; as in"
              + " config/example-pulse.yaml)%n",
          bind, modules.io().port(), read.tanks().size());
      return modules;
    }
    SimulatedLine.Options options =
        new SimulatedLine.Options(
            Optional.of(portBase),
            Optional.of(portBase == 0 ? 0 : portBase + 2),
            Optional.of(portBase == 0 ? 0 : portBase + 1),
            address,
            Optional.empty());
    Simulation simulation = Simulation.open(read, chance, options);
    out.printf("Modbus TCP  %s:%d%n", bind, simulation.line().modbusPort());
    out.printf(
        "Modbus RTU  %s:%d (frames of a serial line over TCP)%n",
        bind, simulation.line().rtuPort());
    out.printf("OPC UA      %s%n", simulation.line().opcUaUrl());
    return simulation;
  }
}
