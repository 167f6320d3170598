package org.bathwarden.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.net.InetAddress;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.locks.LockSupport;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.service.Faces;
import org.bathwarden.service.Service;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;

/**
 * Simulator and controller in lockstep over real sockets: the simulated second ends before the
 * controller's round begins, so nothing depends on the speed of the machine.
 */
final class Demo implements AutoCloseable {

  /** Simulated time stands still during a round, so a busy machine may take its time. */
  private static final Duration PATIENCE = Duration.ofSeconds(20);

  private static final Duration SECOND = Duration.ofSeconds(1);

  /** Less simulated time than this shows nothing; then the demo runs on. */
  private static final Duration LEAST = Duration.ofMinutes(90);

  private final Settings settings;
  private final PrintWriter out;
  private final Simulation simulation;
  private final Optional<DemoBroker> embedded;
  private final SqliteRecord record;
  private final Faces faces;
  private final Service service;
  private final DemoStory story;
  private volatile Instant simulated;

  /**
   * What a person may set.
   *
   * @param seed of all chance
   * @param mode highest mode of all tanks
   * @param portBase Modbus TCP here, OPC UA one above, MQTT two above; 0 takes free ones
   * @param broker a broker of one's own
   * @param speed most simulated seconds in a real one
   * @param span real time it lasts at that speed
   */
  record Settings(
      long seed, Mode mode, int portBase, Optional<String> broker, double speed, Duration span) {}

  Demo(Settings settings, Path folder, PrintWriter out)
      throws IOException, ConfigException, RecordException, GeneralSecurityException {
    this.settings = settings;
    this.out = out;
    Scenario scenario = Scenario.bundled("demo");
    this.simulated = scenario.start().toInstant();
    this.simulation =
        Simulation.open(
            scenario,
            settings.seed(),
            new SimulatedLine.Options(
                Optional.of(settings.portBase()),
                Optional.empty(),
                Optional.of(settings.portBase() == 0 ? 0 : settings.portBase() + 1),
                InetAddress.getLoopbackAddress(),
                Optional.empty()));
    this.embedded =
        settings.broker().isPresent()
            ? Optional.empty()
            : Optional.of(DemoBroker.start(settings.portBase() == 0 ? 0 : settings.portBase() + 2));
    String broker = settings.broker().orElseGet(() -> embedded.orElseThrow().uri());
    Configuration configuration = configuration(folder, broker);
    this.record = SqliteRecord.open(configuration.record());
    this.story = new DemoStory(configuration, simulation.floor(), scenario.start(), out);
    this.faces = new Faces(configuration, record, new SimulatedClock());
    this.service =
        new Service(
            configuration,
            record,
            new Audiences(List.of(faces, story)),
            now(),
            Optional.of(PATIENCE));
    faces.start(service);
    story.opening(
        simulation.line().modbusPort(),
        simulation.line().opcUaUrl(),
        broker,
        faces.httpPort(),
        folder);
  }

  private Configuration configuration(Path folder, String broker)
      throws IOException, ConfigException {
    Configuration read = ConfigReader.read(Bundled.demoConfiguration(folder), System.getenv());
    int opcUaPort = java.net.URI.create(simulation.line().opcUaUrl()).getPort();
    List<Configuration.Line> lines =
        read.lines().stream()
            .map(
                line ->
                    line.at(
                            "127.0.0.1",
                            line.protocol() instanceof Configuration.Protocol.Modbus
                                ? simulation.line().modbusPort()
                                : opcUaPort)
                        .in(settings.mode()))
            .toList();
    Configuration.Mqtt mqtt =
        new Configuration.Mqtt(
            broker, "bathwarden-demo", Optional.empty(), Optional.empty(), Optional.empty());
    return read.with(lines, folder.resolve("demo.db"), Optional.of(mqtt));
  }

  /**
   * Runs to the end.
   *
   * @param summary file for the summary
   * @return whether everything came out as it should
   */
  boolean run(Path summary) throws IOException {
    long simulatedSeconds =
        Math.max(
            LEAST.toSeconds(), (long) (settings.span().toMillis() / 1000.0 * settings.speed()));
    long startNanos = System.nanoTime();
    long untilNanos = startNanos + settings.span().toNanos();
    long second = 0;
    while (second < simulatedSeconds
        && (second < LEAST.toSeconds() || System.nanoTime() - untilNanos < 0)) {
      simulation.advance(SECOND);
      second++;
      simulated = simulation.floor().now();
      service.round(now());
      story.second(second, service::offer, now());
      pace(startNanos, second);
    }
    leave();
    return story.closing(summary, Duration.ofSeconds(second), System.nanoTime() - startNanos);
  }

  /** Ends open orders, as at any stop. */
  private void leave() {
    service.leaveCommand();
    for (int i = 0; i < 120 && !service.atRest(); i++) {
      simulation.advance(SECOND);
      simulated = simulation.floor().now();
      service.round(now());
    }
    out.flush();
  }

  private void pace(long startNanos, long second) {
    long due = startNanos + (long) (second / settings.speed() * 1e9);
    while (System.nanoTime() - due < 0) {
      LockSupport.parkNanos(due - System.nanoTime());
    }
  }

  private Now now() {
    return Now.at(simulated);
  }

  @Override
  public void close() {
    service.close();
    faces.close();
    record.close();
    simulation.close();
    embedded.ifPresent(DemoBroker::close);
  }

  /** The wall clock of the demo: simulated time. */
  private final class SimulatedClock extends Clock {
    @Override
    public ZoneId getZone() {
      return ZoneOffset.UTC;
    }

    @Override
    public Clock withZone(ZoneId zone) {
      return this;
    }

    @Override
    public Instant instant() {
      return simulated;
    }
  }
}
