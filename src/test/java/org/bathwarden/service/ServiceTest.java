package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.Collections;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.UnaryOperator;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Happening;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Covers;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.record.Record;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What the shell does with the line when something around it changes or goes wrong. */
class ServiceTest {

  private static final int ABANDONED = 4;

  @TempDir Path folder = Path.of("");

  private final Simulation plant = Stage.plant();
  private final AtomicReference<Stage> open = new AtomicReference<>();

  @AfterEach
  void close() {
    plant.close();
  }

  private Stage stage(Mode mode, Record record) throws Exception {
    Configuration configuration =
        Stage.configuration(folder, plant, mode, UnaryOperator.identity());
    return new Stage(plant, configuration, record);
  }

  private SqliteRecord record() throws Exception {
    return SqliteRecord.open(folder.resolve("demo.db"));
  }

  private static void runUntilConcentrateFlows(Stage stage) {
    stage.seconds(20);
    stage.titrate();
    stage.until("an order on the weak tank", 120, () -> stage.runs(Stage.WEAK));
  }

  @ParameterizedTest
  @EnumSource(
      value = Mode.class,
      names = {"OFF", "PROPOSE"})
  void withoutCommandNothingIsWrittenInAnHour(Mode mode) throws Exception {
    try (SqliteRecord record = record();
        Stage stage = stage(mode, record)) {
      stage.seconds(20);
      stage.titrate();
      stage.seconds(3580);
      assertEquals(0, plant.line().wire().writes());
      assertTrue(plant.line().wire().reads(Protocol.MODBUS, 0) >= 3500);
      assertTrue(plant.line().wire().reads(Protocol.OPC_UA, 2) >= 3500);
      Set<TankId> proposed = new HashSet<>();
      stage.dosed(DosingEvent.ProposalMade.class).forEach(made -> proposed.add(made.tank()));
      assertEquals(
          mode == Mode.PROPOSE ? Set.of(Stage.WEAK, Stage.STRONG, Stage.LOW) : Set.of(), proposed);
    }
  }

  @Test
  void aLoweredModeEndsTheOrderAndThenTheHeartbeat() throws Exception {
    try (SqliteRecord record = record();
        Stage stage = stage(Mode.COMMAND, record)) {
      runUntilConcentrateFlows(stage);
      long number = stage.plc(Stage.WEAK, FromPlc.ORDER_TAKEN);
      Map<ToPlc, Long> before = written(stage);
      stage.offer(new Entry.ModeRequest(stage.stamp(Stage.WEAK), Mode.PROPOSE));
      stage.until(
          "the order's end",
          60,
          () -> {
            assertEquals(before, written(stage), "only heartbeat and abandon are written");
            return stage.plc(Stage.WEAK, FromPlc.ORDER_FINAL) == number;
          });
      assertEquals(ABANDONED, stage.plc(Stage.WEAK, FromPlc.ORDER_REASON));
      assertEquals(number, stage.plc(Stage.WEAK, FromPlc.ABANDONED_TO));
      stage.until(
          "the booking",
          10,
          () ->
              stage.dosed(DosingEvent.OrderClosed.class).stream()
                  .anyMatch(c -> c.order().number() == number));
      stage.seconds(3);
      long writes = stage.writes(Stage.WEAK);
      stage.seconds(120);
      assertEquals(writes, stage.writes(Stage.WEAK));
      assertTrue(stage.writes(Stage.STRONG) > 0);
    }
  }

  @Test
  void atAStopEachTankLeavesCommandOnceAndTakesNothingMore() throws Exception {
    try (SqliteRecord record = record();
        Stage stage = stage(Mode.COMMAND, record)) {
      runUntilConcentrateFlows(stage);
      int before = stage.facts().size();
      stage.service().leaveCommand();
      stage.until("rest", 120, stage.service()::atRest);
      Map<TankId, Long> writes = new HashMap<>();
      List<TankId> tanks = List.of(Stage.WEAK, Stage.STRONG, Stage.LOW);
      tanks.forEach(tank -> writes.put(tank, stage.writes(tank)));
      // The PLC goes on showing the last epoch, and requests go on coming.
      stage.titrate();
      tanks.forEach(tank -> stage.offer(new Entry.ModeRequest(stage.stamp(tank), Mode.PROPOSE)));
      stage.seconds(2);
      tanks.forEach(tank -> stage.offer(new Entry.ModeRequest(stage.stamp(tank), Mode.COMMAND)));
      stage.seconds(60);
      List<Fact> since = stage.facts().subList(before, stage.facts().size());
      for (TankId tank : tanks) {
        List<String> kinds =
            since.stream()
                .filter(fact -> fact instanceof Fact.Dosed && fact.tank().equals(tank))
                .map(fact -> ((Fact.Dosed) fact).event().getClass().getSimpleName())
                .toList();
        assertEquals(1, Collections.frequency(kinds, "CommandLeft"), tank + ": " + kinds);
        assertEquals(0, Collections.frequency(kinds, "EpochHeld"), tank + ": " + kinds);
        assertEquals(0, Collections.frequency(kinds, "EpochClaimed"), tank + ": " + kinds);
        assertEquals(0, Collections.frequency(kinds, "OrderPrepared"), tank + ": " + kinds);
        assertEquals(writes.get(tank), stage.writes(tank), tank + ": nothing more is written");
      }
      List<DosingEvent.OrderClosed> stopped =
          stage.dosed(DosingEvent.OrderClosed.class).stream()
              .filter(closed -> closed.tank().equals(Stage.WEAK))
              .toList();
      assertEquals(
          Optional.of("the controller's stop"), stopped.get(stopped.size() - 1).stoppedBy());
    }
  }

  /** What stands written for the weak tank, but for heartbeat and abandon. */
  private static Map<ToPlc, Long> written(Stage stage) {
    Map<ToPlc, Long> items = new HashMap<>();
    for (ToPlc item : ToPlc.values()) {
      if (item != ToPlc.CONTROLLER_HEARTBEAT && item != ToPlc.ABANDON_TO) {
        items.put(item, stage.written(Stage.WEAK, item));
      }
    }
    return items;
  }

  @Test
  @Covers(Cause.PASS_FAILED)
  void aPassThatFailsAbandonsAndIsSilent() throws Exception {
    try (SqliteRecord record = record();
        Stage stage = stage(Mode.COMMAND, record)) {
      runUntilConcentrateFlows(stage);
      long number = stage.plc(Stage.WEAK, FromPlc.ORDER_TAKEN);
      long writes = stage.writes(Stage.WEAK);
      Entry broken = stage.broken(Stage.WEAK);
      stage.offer(broken);
      stage.seconds(1);
      assertEquals(1, stage.writes(Stage.WEAK) - writes, "the abandon, no heartbeat");
      assertFalse(stage.taken(broken));
      stage.seconds(1);
      assertTrue(stage.acts(Stage.WEAK, Cause.PASS_FAILED));
      assertEquals(ABANDONED, stage.plc(Stage.WEAK, FromPlc.ORDER_REASON));
      assertEquals(number, stage.plc(Stage.WEAK, FromPlc.ORDER_TAKEN));
      long heartbeat = stage.plc(Stage.WEAK, FromPlc.HEARTBEAT_SEEN);
      stage.seconds(5);
      assertTrue(stage.plc(Stage.WEAK, FromPlc.HEARTBEAT_SEEN) > heartbeat, "heartbeat goes on");
      stage.until(
          "the booking",
          60,
          () ->
              stage.dosed(DosingEvent.OrderClosed.class).stream()
                  .anyMatch(c -> c.order().number() == number));
    }
  }

  @Test
  void aTankWhosePassesGoOnFailingIsSilentAndTheOthersGoOn() throws Exception {
    try (SqliteRecord record = record();
        Stage stage = stage(Mode.COMMAND, record)) {
      stage.seconds(20);
      long silentSince = stage.plc(Stage.WEAK, FromPlc.HEARTBEAT_SEEN);
      long strong = stage.plc(Stage.STRONG, FromPlc.HEARTBEAT_SEEN);
      for (int second = 0; second < 20; second++) {
        stage.offer(stage.broken(Stage.WEAK));
        stage.seconds(1);
      }
      assertTrue(stage.plc(Stage.WEAK, FromPlc.HEARTBEAT_SEEN) <= silentSince + 1, "silent");
      assertTrue(stage.plc(Stage.STRONG, FromPlc.HEARTBEAT_SEEN) >= strong + 19, "goes on");
      assertEquals(1, stage.alarms(AlarmKey.CONTROLLER_FAULT, Happening.ACTIVATED).size());
      stage.seconds(30);
      assertEquals(1, stage.alarms(AlarmKey.CONTROLLER_FAULT, Happening.RETURNED).size());
      assertTrue(stage.plc(Stage.WEAK, FromPlc.HEARTBEAT_SEEN) > silentSince + 5, "comes back");
      assertEquals(Mode.COMMAND, stage.last(Stage.WEAK).after().dosing().mode());
    }
  }

  @Test
  @Covers(Cause.STORE_FAILING)
  void whileTheRecordFailsOrdersStopAndHeartbeatAndAlarmsGoOn() throws Exception {
    try (FailingRecord record = new FailingRecord(folder);
        Stage stage = stage(Mode.COMMAND, record)) {
      runUntilConcentrateFlows(stage);
      long number = stage.plc(Stage.WEAK, FromPlc.ORDER_TAKEN);
      record.fails(round -> true);
      stage.seconds(2);
      assertTrue(stage.acts(Stage.WEAK, Cause.STORE_FAILING));
      int heartbeats = 0;
      long seen = stage.plc(Stage.WEAK, FromPlc.HEARTBEAT_SEEN);
      for (int second = 0; second < 60; second++) {
        stage.seconds(1);
        heartbeats += stage.plc(Stage.WEAK, FromPlc.HEARTBEAT_SEEN) != seen ? 1 : 0;
        seen = stage.plc(Stage.WEAK, FromPlc.HEARTBEAT_SEEN);
        assertEquals(number, stage.plc(Stage.WEAK, FromPlc.ORDER_TAKEN), "no new order");
      }
      assertEquals(60, heartbeats);
      assertEquals(ABANDONED, stage.plc(Stage.WEAK, FromPlc.ORDER_REASON));
      List<Stage.Shown> alarms = stage.alarms(AlarmKey.RECORD_FAILING, Happening.ACTIVATED);
      assertEquals(List.of(false), alarms.stream().map(Stage.Shown::stored).toList());
      assertEquals(0, storedClosings(record, number), "it could not be stored");

      record.fails(round -> false);
      stage.seconds(3);
      assertEquals(1, storedClosings(record, number), "stored once it can be");
      assertStoredOnce(record, stage);
    }
  }

  @Test
  void anOrderThatTheRecordDidNotTakeNeverReachesTheLine() throws Exception {
    try (FailingRecord record = new FailingRecord(folder);
        Stage stage = stage(Mode.COMMAND, record)) {
      record.fails(
          round ->
              round.stream()
                  .anyMatch(
                      fact ->
                          fact instanceof Fact.Dosed dosed
                              && dosed.event() instanceof DosingEvent.OrderPrepared));
      stage.seconds(20);
      stage.titrate();
      stage.until("an order", 120, () -> !stage.dosed(DosingEvent.OrderPrepared.class).isEmpty());
      record.fails(round -> false);
      DosingEvent.OrderPrepared lost = stage.dosed(DosingEvent.OrderPrepared.class).get(0);
      TankId tank = lost.tank();
      stage.until(
          "the next order",
          1200,
          () -> {
            assertTrue(stage.written(tank, ToPlc.ORDER_NUMBER) != lost.order().number());
            return stage.runs(tank);
          });
      assertTrue(stage.plc(tank, FromPlc.ORDER_TAKEN) > lost.order().number());
      List<OrderState> ends =
          stage.dosed(DosingEvent.OrderClosed.class).stream()
              .filter(closed -> closed.tank().equals(tank))
              .filter(closed -> closed.order().number() == lost.order().number())
              .map(DosingEvent.OrderClosed::state)
              .toList();
      assertEquals(List.of(OrderState.VOID), ends);
      assertStoredOnce(record, stage);
    }
  }

  private static long storedClosings(Record record, long number) throws Exception {
    return record.eventsSince(0, 100_000).stream()
        .map(Record.StoredEvent::event)
        .filter(Fact.Dosed.class::isInstance)
        .map(event -> ((Fact.Dosed) event).event())
        .filter(DosingEvent.OrderClosed.class::isInstance)
        .filter(event -> event.tank().equals(Stage.WEAK))
        .filter(event -> ((DosingEvent.OrderClosed) event).order().number() == number)
        .count();
  }

  /** Every event of dosing that was shown is in the store, once, in order. */
  private static void assertStoredOnce(Record record, Stage stage) throws Exception {
    for (TankId tank : List.of(Stage.WEAK, Stage.STRONG, Stage.LOW)) {
      List<DosingEvent> stored =
          record.eventsSince(0, 100_000).stream()
              .map(Record.StoredEvent::event)
              .filter(Fact.Dosed.class::isInstance)
              .map(event -> ((Fact.Dosed) event).event())
              .filter(event -> event.tank().equals(tank))
              .toList();
      List<DosingEvent> shown =
          stage.dosed(DosingEvent.class).stream()
              .filter(event -> event.tank().equals(tank))
              .toList();
      assertEquals(shown, stored);
    }
  }

  @Test
  @Covers(Cause.CLOCK_STEP)
  void aStepOfTheWallClockBlocksAndNeverCatchesUp() throws Exception {
    try (SqliteRecord record = record();
        Stage stage = stage(Mode.COMMAND, record)) {
      runUntilConcentrateFlows(stage);
      for (Duration step : List.of(Duration.ofHours(3), Duration.ofHours(-3))) {
        int prepared = stage.dosed(DosingEvent.OrderPrepared.class).size();
        int alarms = stage.alarms(AlarmKey.CLOCK_NOT_TRUSTED, Happening.ACTIVATED).size();
        stage.stepWallClock(step);
        stage.seconds(1);
        for (TankId tank : List.of(Stage.WEAK, Stage.STRONG, Stage.LOW)) {
          assertTrue(stage.acts(tank, Cause.CLOCK_STEP), tank + " after " + step);
        }
        stage.seconds(570);
        assertEquals(prepared, stage.dosed(DosingEvent.OrderPrepared.class).size(), "new orders");
        assertEquals(
            alarms + 1, stage.alarms(AlarmKey.CLOCK_NOT_TRUSTED, Happening.ACTIVATED).size());
        stage.seconds(900);
        assertEquals(
            alarms + 1, stage.alarms(AlarmKey.CLOCK_NOT_TRUSTED, Happening.RETURNED).size());
        assertTrue(stage.dosed(DosingEvent.OrderPrepared.class).size() > prepared, "goes on later");
      }
      stage.untilOrdersAreFinal();
      assertBookedAsThePlcCounted(stage);
      assertNoHourAboveItsCap(stage);
    }
  }

  private static void assertBookedAsThePlcCounted(Stage stage) {
    for (TankId tank : List.of(Stage.WEAK, Stage.STRONG, Stage.LOW)) {
      long booked = 0;
      Set<Long> numbers = new HashSet<>();
      for (DosingEvent.OrderClosed closed : stage.dosed(DosingEvent.OrderClosed.class)) {
        if (closed.tank().equals(tank)) {
          assertTrue(numbers.add(closed.order().number()), "booked twice: " + closed);
          booked += closed.order().product() == Product.CONCENTRATE ? closed.deliveredMl() : 0;
        }
      }
      long counted = stage.plc(tank, FromPlc.CONCENTRATE_TOTAL_ML);
      assertEquals(counted, booked, 12, tank + ": totalizer against booked, mL");
    }
  }

  /** The hour's cap of concentrate for this tank is 0.5 H, H = (9.7 − 8.0)·800/(100 − 9.7) L. */
  private static void assertNoHourAboveItsCap(Stage stage) {
    double capMl = 0.5 * (9.7 - 8.0) * 800 / (100 - 9.7) * 1000;
    List<DosingEvent.OrderClosed> all = stage.dosed(DosingEvent.OrderClosed.class);
    for (DosingEvent.OrderClosed first : all) {
      Instant end = first.at().steady().plus(Duration.ofHours(1));
      long ml = 0;
      for (DosingEvent.OrderClosed other : all) {
        boolean within =
            !other.at().steady().isBefore(first.at().steady()) && other.at().steady().isBefore(end);
        if (within
            && other.tank().equals(first.tank())
            && other.order().product() == Product.CONCENTRATE) {
          ml += other.deliveredMl();
        }
      }
      assertTrue(ml <= capMl * 1.02, ml + " mL of concentrate in an hour from " + first.at());
    }
  }
}
