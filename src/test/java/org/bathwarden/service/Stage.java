package org.bathwarden.service;

import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.BooleanSupplier;
import java.util.function.UnaryOperator;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.Happening;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.face.Request;
import org.bathwarden.line.modbus.ModbusRoute;
import org.bathwarden.record.Record;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/**
 * The demo's plant and a service in lockstep, over real sockets: three tanks, weak, strong and low
 * in level, two on Modbus TCP and one on OPC UA. Remembers all that the service shows.
 */
final class Stage implements Audience, AutoCloseable {

  static final TankId WEAK = new TankId("degrease-1");
  static final TankId STRONG = new TankId("degrease-2");
  static final TankId LOW = new TankId("degrease-3");

  private static final Duration SECOND = Duration.ofSeconds(1);
  private static final Duration PATIENCE = Duration.ofSeconds(20);

  private final Simulation plant;
  private final Configuration configuration;
  private final Service service;
  private final List<Fact> facts = new ArrayList<>();
  private final List<Shown> alarms = new ArrayList<>();
  private final Map<TankId, PassResult> last = new HashMap<>();
  private final Map<Entry, Boolean> answers = new ConcurrentHashMap<>();
  private final Map<Entry, String> texts = new ConcurrentHashMap<>();
  private final List<Audience> others = new ArrayList<>();
  private Duration wallAhead = Duration.ZERO;
  private int requests;

  /** An alarm as it was shown. */
  record Shown(AlarmChange change, boolean stored) {}

  Stage(Simulation plant, Configuration configuration, Record record) throws Exception {
    this.plant = plant;
    this.configuration = configuration;
    this.service = new Service(configuration, record, this, now(), Optional.of(PATIENCE));
  }

  /** The demo's plant. */
  static Simulation plant() {
    return Simulation.open(Scenario.bundled("demo"), 7, SimulatedLine.Options.onLoopback());
  }

  /** The demo's configuration, changed by {@code change}, for {@code plant}. */
  static Configuration configuration(
      Path folder, Simulation plant, Mode mode, UnaryOperator<String> change) throws Exception {
    Files.createDirectories(folder.resolve("chemistry"));
    Path sheet = folder.resolve("chemistry/alkali-a.yaml");
    Files.writeString(sheet, Files.readString(Path.of("config/chemistry/alkali-a.yaml")));
    Path file = folder.resolve("demo.yaml");
    Files.writeString(file, change.apply(Files.readString(Path.of("config/demo.yaml"))));
    Configuration read = ConfigReader.read(file, Map.of());
    int opcUaPort = URI.create(plant.line().opcUaUrl()).getPort();
    List<Configuration.Line> lines =
        read.lines().stream()
            .map(line -> line.at("127.0.0.1", port(line, plant, opcUaPort)).in(mode))
            .toList();
    return read.with(lines, folder.resolve("demo.db"), Optional.empty());
  }

  private static int port(Configuration.Line line, Simulation plant, int opcUaPort) {
    if (!(line.protocol() instanceof Configuration.Protocol.Modbus modbus)) {
      return opcUaPort;
    }
    return modbus.settings().route() instanceof ModbusRoute.RtuOverTcp
        ? plant.line().rtuPort()
        : plant.line().modbusPort();
  }

  void alsoShow(Audience other) {
    others.add(other);
  }

  Service service() {
    return service;
  }

  /** The present on both clocks of the controller. */
  Now now() {
    Instant simulated = plant.floor().now();
    return new Now(simulated, simulated.plus(wallAhead));
  }

  /** Runs {@code seconds} simulated seconds, a round after each. */
  void seconds(int seconds) {
    for (int i = 0; i < seconds; i++) {
      plant.advance(SECOND);
      service.round(now());
    }
  }

  /** Runs until {@code condition} holds after a round. */
  void until(String what, int secondsMax, BooleanSupplier condition) {
    for (int second = 0; !condition.getAsBoolean(); second++) {
      if (second >= secondsMax) {
        throw new AssertionError("not within " + secondsMax + " s: " + what);
      }
      seconds(1);
    }
  }

  /** The wall clock steps, the steady one does not. */
  void stepWallClock(Duration by) {
    wallAhead = wallAhead.plus(by);
  }

  /** Someone titrates each tank, without error, and enters it. */
  void titrate() {
    for (Configuration.Tank tank : configuration.tanks()) {
      double pct = plant.floor().truth(index(tank.id())).concentrationPct();
      offer(
          new Entry.Titration(
              stamp(tank.id()),
              pct,
              Entry.Titration.Unit.PCT,
              tank.sheet().tank().chemistry().endPoint(),
              0.15,
              ""));
    }
  }

  Stamp stamp(TankId tank) {
    Instant wall = now().wall();
    String id = "request-" + wall.getEpochSecond() + "-" + requests++;
    return new Stamp(id, tank, "chemist on shift", Stamp.Channel.CONSOLE, wall, wall);
  }

  /**
   * An entry at which a pass fails: a name that is null, as no reader of requests makes it, breaks
   * every promise.
   */
  Entry broken(TankId tank) {
    return new Entry.QualityCheck(stamp(tank), new AtomicReference<String>().get(), false);
  }

  void offer(Entry entry) {
    boolean room =
        service.offer(
            new Request(
                entry,
                (accepted, text) -> {
                  answers.put(entry, accepted);
                  texts.put(entry, text);
                }));
    if (!room) {
      throw new AssertionError("no room for " + entry);
    }
  }

  /** Whether {@code entry} was taken; false while it was not answered. */
  boolean taken(Entry entry) {
    return answers.getOrDefault(entry, false);
  }

  /** What {@code entry} was answered; empty while it was not. */
  String answer(Entry entry) {
    return texts.getOrDefault(entry, "");
  }

  /** Everything of one kind that happened in dosing so far. */
  <E extends DosingEvent> List<E> dosed(Class<E> kind) {
    return facts.stream()
        .filter(Fact.Dosed.class::isInstance)
        .map(fact -> ((Fact.Dosed) fact).event())
        .filter(kind::isInstance)
        .map(kind::cast)
        .toList();
  }

  List<Fact> facts() {
    return facts;
  }

  /** How often an alarm was shown with {@code what}. */
  List<Shown> alarms(AlarmKey key, Happening what) {
    return alarms.stream()
        .filter(shown -> shown.change().definition().key() == key)
        .filter(shown -> shown.change().what() == what)
        .toList();
  }

  /** Whether {@code cause} acted in the last pass of {@code tank}. */
  boolean acts(TankId tank, Cause cause) {
    return last(tank).view().verdict().active().contains(cause);
  }

  PassResult last(TankId tank) {
    return Optional.ofNullable(last.get(tank)).orElseThrow();
  }

  /** What the PLC shows. */
  long plc(TankId tank, FromPlc item) {
    return plant.line().snapshot(index(tank)).image().get(item);
  }

  /** What stands written in the PLC, as it copied it in its last scan. */
  long written(TankId tank, ToPlc item) {
    return plant.line().snapshot(index(tank)).written().get(item);
  }

  boolean runs(TankId tank) {
    return plc(tank, FromPlc.ORDER_STATE) == 1;
  }

  /** Runs until every order is final and booked. */
  void untilOrdersAreFinal() {
    until(
        "all orders final",
        600,
        () ->
            List.of(WEAK, STRONG, LOW).stream()
                .allMatch(
                    tank ->
                        plc(tank, FromPlc.ORDER_FINAL) == plc(tank, FromPlc.ORDER_TAKEN)
                            && last(tank).after().dosing().book().open().isEmpty()));
  }

  /** Requests to write that reached the PLC. */
  long writes(TankId tank) {
    return plant.line().wire().writes(index(tank));
  }

  private static int index(TankId tank) {
    return List.of(WEAK, STRONG, LOW).indexOf(tank);
  }

  @Override
  public void passed(TankRunner.Passed passed, boolean stored) {
    others.forEach(other -> other.passed(passed, stored));
    last.put(passed.tank().id(), passed.result());
    facts.addAll(passed.result().facts());
    passed.result().alarms().forEach(change -> alarms.add(new Shown(change, stored)));
  }

  @Override
  public void watched(AlarmState state, List<AlarmChange> changes, boolean stored, Now now) {
    changes.forEach(change -> alarms.add(new Shown(change, stored)));
  }

  @Override
  public void close() {
    service.close();
  }
}
