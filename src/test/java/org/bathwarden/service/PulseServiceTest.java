package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Disagreement;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.face.Request;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.simulator.scenario.ShopFloor;
import org.bathwarden.simulator.wire.RemoteIo;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The whole service on a simulated tank with remote I/O: the demo's weak bath, two coils. */
class PulseServiceTest {

  private static final TankId TANK = new TankId("degrease-1");
  private static final Duration SECOND = Duration.ofSeconds(1);
  private static final Duration PATIENCE = Duration.ofSeconds(20);

  /** 1.5 L/min for a watchdog of 5 s. */
  private static final long UNSEEN_ML = 125;

  @TempDir private Path folder = Path.of("");
  private final ShopFloor floor = new ShopFloor(Scenario.bundled("demo"), 7);
  private final RemoteIo io = new RemoteIo(floor, Duration.ofSeconds(5), 0);

  @AfterEach
  void close() {
    io.close();
  }

  /** One process, from its start to its end. */
  private final class Run implements Audience, AutoCloseable {
    private final SqliteRecord record;
    private final Service service;
    private final Configuration configuration = configuration();
    private final List<Fact> facts = new ArrayList<>();
    private Optional<PassResult> last = Optional.empty();

    Run() throws Exception {
      record = SqliteRecord.open(configuration.record());
      service = new Service(configuration, record, this, now(), Optional.of(PATIENCE));
    }

    void until(String what, int secondsMax, BooleanSupplier condition) {
      for (int second = 0; !condition.getAsBoolean(); second++) {
        if (second >= secondsMax) {
          throw new AssertionError(
              "not within "
                  + secondsMax
                  + " s: "
                  + what
                  + "; "
                  + last.map(l -> l.view().verdict().active().toString()).orElse("")
                  + dosed(DosingEvent.class));
        }
        io.advance(SECOND);
        service.round(now());
      }
    }

    void titrate() {
      Instant wall = now().wall();
      Stamp stamp = new Stamp("t1", TANK, "chemist on shift", Stamp.Channel.CONSOLE, wall, wall);
      Entry titration =
          new Entry.Titration(
              stamp,
              floor.truth(0).concentrationPct(),
              Entry.Titration.Unit.PCT,
              configuration.tanks().get(0).sheet().tank().chemistry().endPoint(),
              0.15,
              "");
      assertTrue(service.offer(new Request(titration, (accepted, text) -> {})));
    }

    <E extends DosingEvent> List<E> dosed(Class<E> kind) {
      return facts.stream()
          .filter(Fact.Dosed.class::isInstance)
          .map(fact -> ((Fact.Dosed) fact).event())
          .filter(kind::isInstance)
          .map(kind::cast)
          .toList();
    }

    @Override
    public void passed(TankRunner.Passed passed, boolean stored) {
      last = Optional.of(passed.result());
      facts.addAll(passed.result().facts());
    }

    /** Without threads nothing is abandoned or written: as if the process were killed. */
    @Override
    public void close() {
      service.close();
      record.close();
    }
  }

  private Now now() {
    return Now.at(floor.now());
  }

  private Configuration configuration() throws Exception {
    Files.createDirectories(folder.resolve("chemistry"));
    Files.writeString(
        folder.resolve("chemistry/alkali-a.yaml"),
        Files.readString(Path.of("config/chemistry/alkali-a.yaml")));
    Path file = folder.resolve("pulse.yaml");
    Files.writeString(
        file,
        Files.readString(Path.of("config/example-pulse.yaml"))
            .replace("instance: 1", "instance: 1\nrehearsal: true")
            .replace("mode: propose", "mode: command"));
    Configuration read = ConfigReader.read(file, Map.of());
    return read.with(
        read.lines().stream()
            .map(line -> line.at("127.0.0.1", io.port()).in(Mode.COMMAND))
            .toList(),
        folder.resolve("pulse.db"),
        Optional.empty());
  }

  private long flowedMl() {
    return floor.signals(0).concentrateMl();
  }

  @Test
  void aWeakBathIsDosedByRunTimeAndBookedAsItFlowed() throws Exception {
    try (Run run = new Run()) {
      run.until("an image", 20, () -> run.last.isPresent());
      run.titrate();
      run.until("a dose", 1200, () -> !run.dosed(DosingEvent.OrderClosed.class).isEmpty());
      DosingEvent.OrderClosed closed = run.dosed(DosingEvent.OrderClosed.class).get(0);
      assertEquals(OrderState.DONE, closed.state());
      assertEquals(Product.CONCENTRATE, closed.order().product());
      assertEquals(flowedMl(), closed.deliveredMl(), 0.05 * closed.deliveredMl());
      assertEquals(closed.order().orderedMl(), closed.deliveredMl(), 13, "half a scan");
      assertFalse(io.on(0, 0));
    }
  }

  @Test
  void aKillInTheMiddleOfADoseIsBookedWithTheWatchdogsTimeAndNamed() throws Exception {
    try (Run run = new Run()) {
      run.until("an image", 20, () -> run.last.isPresent());
      run.titrate();
      run.until("the pump runs", 1200, () -> io.on(0, 0));
      run.until("it has run", 20, () -> flowedMl() > 200);
      assertTrue(io.on(0, 0));
    }
    long killedAt = flowedMl();
    io.advance(Duration.ofMinutes(1));
    assertFalse(io.on(0, 0), "the module's watchdog");
    long flowed = flowedMl();
    assertTrue(flowed - killedAt <= UNSEEN_ML + 13, flowed - killedAt + " mL after the kill");
    try (Run run = new Run()) {
      run.until("settled", 60, () -> !run.dosed(DosingEvent.OrderClosed.class).isEmpty());
      DosingEvent.OrderClosed closed = run.dosed(DosingEvent.OrderClosed.class).get(0);
      assertEquals(OrderState.STOPPED, closed.state());
      assertEquals(ReasonCode.PLC_RESTARTED, closed.reason());
      assertTrue(closed.deliveredMl() >= flowed - 20, closed.deliveredMl() + " of " + flowed);
      assertTrue(closed.deliveredMl() <= flowed + UNSEEN_ML, closed.deliveredMl() + "");
      DosingEvent.OrderDisagrees named = run.dosed(DosingEvent.OrderDisagrees.class).get(0);
      assertEquals(Disagreement.UNSEEN_FLOW, named.what());
      assertTrue(named.detail().contains("up to 125 mL"), named.detail());
      run.until(
          "told",
          120,
          () -> run.last.orElseThrow().after().alarm().active(AlarmKey.TOTALIZER_MISMATCH));
      run.until("a quarter of an hour without another dose", 1000, new Countdown(900)::over);
      assertTrue(
          run.last.orElseThrow().view().verdict().active().contains(Cause.CONCENTRATE_MISCOUNT));
      assertEquals(flowed, flowedMl(), "no second dose before the chemist has looked");
      List<Double> doubted =
          run.facts.stream()
              .filter(Fact.EntryTaken.class::isInstance)
              .map(fact -> ((Fact.EntryTaken) fact).entry())
              .filter(Entry.UnseenFlow.class::isInstance)
              .map(entry -> ((Entry.UnseenFlow) entry).litres())
              .toList();
      assertEquals(List.of(UNSEEN_ML / 1000.0), doubted, "the estimator is told, once");
    }
  }

  /** So many rounds. */
  private static final class Countdown {
    private int left;

    Countdown(int rounds) {
      left = rounds;
    }

    boolean over() {
      return left-- <= 0;
    }
  }

  @Test
  void inProposeNoCoilIsEverWritten() throws Exception {
    RemoteIo other = new RemoteIo(floor, Duration.ofSeconds(5), 0);
    try (other) {
      Configuration read = configuration();
      Configuration proposes =
          read.with(
              read.lines().stream()
                  .map(line -> line.at("127.0.0.1", other.port()).in(Mode.PROPOSE))
                  .toList(),
              folder.resolve("proposes.db"),
              Optional.empty());
      try (SqliteRecord record = SqliteRecord.open(proposes.record());
          Service service =
              new Service(proposes, record, new Audience() {}, now(), Optional.of(PATIENCE))) {
        for (int i = 0; i < 30; i++) {
          other.advance(SECOND);
          service.round(now());
        }
      }
      assertEquals(0, other.writes());
    }
  }
}
