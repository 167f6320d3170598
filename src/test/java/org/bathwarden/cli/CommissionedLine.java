package org.bathwarden.cli;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.config.TankText;
import org.bathwarden.face.Request;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.service.Faces;
import org.bathwarden.service.Service;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.SimulatedPlant;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/**
 * One tank on a real line as far as its configuration says, with a simulated plant behind it and a
 * service whose console listens on loopback. A thread of its own lets simulated seconds pass.
 */
final class CommissionedLine implements AutoCloseable {

  static final TankId TANK = new TankId("degrease-1");
  static final Scenario SCENARIO = weakTank();

  private static final Duration SECOND = Duration.ofSeconds(1);
  private static final Duration PATIENCE = Duration.ofSeconds(20);
  private static final long PAUSE_NANOS = TimeUnit.MILLISECONDS.toNanos(10);

  private final Path folder;
  private final SimulatedPlant plant;
  private final Queue<Runnable> deeds = new ConcurrentLinkedQueue<>();
  private SqliteRecord record;
  private Service service;
  private Faces faces;
  private Thread driver = new Thread();
  private volatile boolean over;
  private int ids;
  private int port = 1;

  /** A line with a PLC. */
  CommissionedLine(Path folder) throws Exception {
    this(folder, Simulation.open(SCENARIO, 3, SimulatedLine.Options.onLoopback()));
  }

  /** A line with this behind it. */
  CommissionedLine(Path folder, SimulatedPlant plant) throws Exception {
    this.folder = folder;
    this.plant = plant;
    Files.copy(Path.of("config/chemistry/alkali-a.yaml"), folder.resolve("alkali-a.yaml"));
  }

  /** The demo's weak tank three hours before the first parts come. */
  private static Scenario weakTank() {
    Scenario demo = Scenario.bundled("demo");
    return new Scenario(
        "weak-tank",
        demo.seed(),
        OffsetDateTime.parse("2026-03-02T03:00:00+01:00"),
        demo.room(),
        demo.water(),
        demo.unknowns(),
        demo.products(),
        demo.drums(),
        demo.loadProfiles(),
        demo.tankTypes(),
        demo.tanks().subList(0, 1),
        List.of());
  }

  /** Writes the configuration, with {@code more} lines in it, top level or of the tank. */
  Path write(String top, String more) throws Exception {
    return Files.writeString(
        folder.resolve("yard.yaml"),
        HEAD.replace("PORT", Integer.toString(((Simulation) plant).line().modbusPort()))
                .replace("TOP\n", top)
            + TankText.supplies(1, 1.5, 10, 100)
            + ("tanks:\n" + TankText.tank(1, "degrease", "cell", REST + more)));
  }

  /** Takes a configuration as it is delivered, on the free ports of this machine. */
  void copy(Path delivered, String... replaced) throws Exception {
    String text = Files.readString(delivered);
    for (int i = 0; i < replaced.length; i += 2) {
      if (!text.contains(replaced[i])) {
        throw new AssertionError(delivered + " has no " + replaced[i]);
      }
      text = text.replace(replaced[i], replaced[i + 1]);
    }
    Files.writeString(config(), text);
  }

  Path config() {
    return folder.resolve("yard.yaml");
  }

  void start() throws Exception {
    Configuration configuration = ConfigReader.read(config(), Map.of());
    record = SqliteRecord.open(configuration.record());
    try {
      faces = new Faces(configuration, record, new SimulatedClock());
      service = new Service(configuration, record, faces, now(), Optional.of(PATIENCE));
    } catch (Exception e) {
      record.close();
      throw e;
    }
    faces.start(service);
    port = faces.httpPort().orElseThrow();
    over = false;
    driver = new Thread(this::drive, "seconds");
    driver.start();
  }

  private void drive() {
    while (!over) {
      plant.advance(SECOND);
      service.round(now());
      for (Runnable deed = deeds.poll(); deed != null; deed = deeds.poll()) {
        deed.run();
      }
      LockSupport.parkNanos(PAUSE_NANOS);
    }
  }

  void stop() throws Exception {
    over = true;
    driver.join();
    service.close();
    faces.close();
    record.close();
  }

  private Now now() {
    return Now.at(plant.floor().now());
  }

  /** Does something between two rounds and waits until it is done. */
  void deed(Runnable what) throws InterruptedException {
    CountDownLatch done = new CountDownLatch(1);
    deeds.add(
        () -> {
          what.run();
          done.countDown();
        });
    if (!done.await(20, TimeUnit.SECONDS)) {
      throw new AssertionError("no round within 20 s");
    }
  }

  void seconds(int count) throws InterruptedException {
    Instant until = plant.floor().now().plusSeconds(count);
    while (plant.floor().now().isBefore(until)) {
      deed(() -> {});
    }
  }

  SimulatedPlant plant() {
    return plant;
  }

  Truth truth() {
    return plant.floor().truth(0);
  }

  Mode mode() {
    return service.mode(TANK).orElseThrow();
  }

  Stamp stamp() {
    Instant wall = now().wall();
    return new Stamp("e-" + ids++, TANK, "E. Ngineer", Stamp.Channel.CONSOLE, wall, wall);
  }

  /** Enters something; returns the answer. */
  String enter(Entry entry) throws InterruptedException {
    CountDownLatch answered = new CountDownLatch(1);
    StringBuilder answer = new StringBuilder();
    service.offer(
        new Request(
            entry,
            (accepted, text) -> {
              answer.append(accepted ? "taken: " : "refused: ").append(text);
              answered.countDown();
            }));
    if (!answered.await(20, TimeUnit.SECONDS)) {
      throw new AssertionError("no answer to " + entry);
    }
    return answer.toString();
  }

  void titrate() throws InterruptedException {
    enter(
        new Entry.Titration(
            stamp(),
            truth().concentrationPct(),
            Entry.Titration.Unit.PCT,
            EndPoint.FREE,
            0.15,
            ""));
  }

  /** Ends what latched. */
  void reset(String interlock) throws InterruptedException {
    enter(new Entry.Release(stamp()));
    enter(new Entry.TripReset(stamp(), interlock, Role.ENGINEER));
  }

  /** What a command said, and how it ended. */
  record Said(int code, String out, String err) {}

  /** Runs {@code prove} on this line as a person would. */
  Said prove(String... more) {
    return command("prove", more);
  }

  /** Runs a command of the console on this line as a person would. */
  Said command(String name, String... more) {
    List<String> args = new ArrayList<>(List.of(name, "--config", config().toString()));
    args.addAll(List.of("--port", Integer.toString(port)));
    args.addAll(List.of(more));
    return run(args.toArray(String[]::new));
  }

  static Said run(String... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    int code =
        Main.commandLine()
            .setOut(new PrintWriter(out, true))
            .setErr(new PrintWriter(err, true))
            .execute(args);
    return new Said(code, out.toString(), err.toString());
  }

  ConsoleClient client() throws Exception {
    return new ConsoleClient(ConfigReader.console(config()), faces.httpPort());
  }

  static String number(double value) {
    return String.format(Locale.ROOT, "%.3f", value);
  }

  @Override
  public void close() {
    plant.close();
  }

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
      return plant.floor().now();
    }
  }

  private static final String HEAD =
      """
      site: North Yard
      TOP
      record: {file: yard.db}
      health: {bind: 127.0.0.1, port: 0}
      connections:
        cell-1: {protocol: modbus-tcp, host: 127.0.0.1, port: PORT, scan: 1s, timeout: 900ms}
      supplies:
      """;

  private static final String REST =
      """
          band: {target_pct: 8.0, low_pct: 6.8, high_pct: 9.7}
          start: {concentration_pct: 6.4, u_pct: 0.3}
          limits: {mixing_wait: 1s}
      """;
}
