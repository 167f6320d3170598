package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.Supplier;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmDefinition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.Happening;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.estimate.Flag;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Each alarm of the catalogue is raised and cleared. The life cycle that is walked through, normal,
 * unacknowledged, acknowledged, normal, and latched in between where the definition says so, is
 * that of IEC 62682:2014, 5.2.2 (clause from memory).
 */
class AlarmCoverageTest {

  private static final AlarmSettings SETTINGS = AlarmSettings.defaults();

  /**
   * How an alarm of a tank is brought about.
   *
   * @param bench begin
   * @param stepS time between passes while waiting, s
   * @param raise brings it about
   * @param clear ends it
   */
  private record Way(Bench bench, int stepS, Consumer<Bench> raise, Consumer<Bench> clear) {}

  private static final Set<AlarmKey> ELSEWHERE =
      Set.of(
          AlarmKey.LINE_LOST,
          AlarmKey.LINE_TAKEN_OVER,
          AlarmKey.CONTROLLER_FAULT,
          AlarmKey.RECORD_FAILING,
          AlarmKey.RECORD_FULL,
          AlarmKey.CLOCK_NOT_TRUSTED);

  private static final Map<AlarmKey, Supplier<Way>> WAYS = ways();

  private static Map<AlarmKey, Supplier<Way>> ways() {
    Map<AlarmKey, Supplier<Way>> ways = new EnumMap<>(AlarmKey.class);
    permit(ways, AlarmKey.LEVEL_OVERFILL, Permit.OVERFLOW_CLEAR);
    permit(ways, AlarmKey.CONCENTRATE_OUT, Permit.CONCENTRATE_AVAILABLE);
    permit(ways, AlarmKey.WATER_OUT, Permit.WATER_AVAILABLE);
    permit(ways, AlarmKey.CIRCULATION_OFF, Permit.CIRCULATION);
    permit(ways, AlarmKey.BATH_STATE_CONFLICT, Permit.DRAIN_CLOSED);
    sensor(ways, AlarmKey.LEVEL_BAD, 0);
    sensor(ways, AlarmKey.TEMPERATURE_PROBE_BAD, 1);
    sensor(ways, AlarmKey.CONDUCTIVITY_PROBE_BAD, 2);
    sensor(ways, AlarmKey.PH_PROBE_BAD, 3);
    level(ways, AlarmKey.LEVEL_BELOW_HEATER_GUARD, 450);
    level(ways, AlarmKey.LEVEL_LOW, 860);
    level(ways, AlarmKey.LEVEL_HIGH, 1120);
    strength(ways, AlarmKey.CONCENTRATION_LOW, 7, Metal.STEEL);
    strength(ways, AlarmKey.CONCENTRATION_HIGH, 13, Metal.STEEL);
    strength(ways, AlarmKey.CONCENTRATION_HIGH_LIGHT_METAL, 13, Metal.ALUMINIUM);
    temperature(ways, AlarmKey.TEMPERATURE_HIGH, 54);
    temperature(ways, AlarmKey.TEMPERATURE_LOW, 12);
    way(ways, AlarmKey.PH_OUTSIDE_LIMITS, Mode.OFF, 10, b -> b.ph = 13.9, b -> b.ph = 12);
    way(
        ways,
        AlarmKey.FLOW_WITHOUT_ORDER,
        Mode.OFF,
        1,
        b -> b.strayMlPerS = 200,
        b -> {
          b.strayMlPerS = 0;
          b.plc().panel(0).pressFaultReset();
        });
    way(
        ways,
        AlarmKey.OUTPUT_NOT_DROPPED,
        Mode.OFF,
        1,
        b -> b.contactorStuck = true,
        b -> {
          b.contactorStuck = false;
          b.run(2);
          b.plc().panel(0).pressFaultReset();
        });
    way(
        ways,
        AlarmKey.FAST_LOSS,
        Mode.OFF,
        2,
        b -> b.litresLostPerS = 0.3,
        b -> b.litresLostPerS = 0);
    way(
        ways,
        AlarmKey.UNBOOKED_CHANGE,
        Mode.OFF,
        30,
        b -> b.volumeL -= 60,
        b -> b.coarse(Duration.ofHours(6), 60));
    way(ways, AlarmKey.TITRATION_CONTRADICTS, Mode.OFF, 10, b -> b.titrate(13.5), Bench::titrate);
    way(
        ways,
        AlarmKey.TITRATION_OVERDUE,
        Mode.OFF,
        30,
        b -> b.coarse(Duration.ofHours(24), 60),
        Bench::titrate);
    ways.put(
        AlarmKey.CONCENTRATE_HELD,
        () -> new Way(new Bench(Mode.PROPOSE), 5, b -> {}, Bench::titrate));
    way(
        ways,
        AlarmKey.CHECK_FAILED,
        Mode.OFF,
        1,
        b -> {
          b.enter(new Entry.QualityCheck(b.stamp(), "water-break", false));
          b.enter(new Entry.QualityCheck(b.stamp(), "water-break", false));
        },
        b -> b.enter(new Entry.QualityCheck(b.stamp(), "water-break", true)));
    way(
        ways,
        AlarmKey.WRONG_PRODUCT,
        Mode.OFF,
        1,
        b ->
            b.enter(
                new Entry.DrumChange(
                    b.stamp(), "another product", "lot 9", 200, true, Plant.CHECKED)),
        b -> {});
    way(
        ways,
        AlarmKey.BYPASS_ACTIVE,
        Mode.OFF,
        1,
        b -> b.sheet = Plant.sheet(Mode.OFF, Set.of(Metal.STEEL), Set.of(Permit.DRAIN_CLOSED)),
        b -> b.sheet = Plant.sheet(Mode.OFF));
    way(
        ways,
        AlarmKey.PROOF_DUE,
        Mode.COMMAND,
        1,
        b -> {
          b.sheet = Proving.demanding(b.sheet);
          b.past(d -> Proving.allProved(d, b, ProofPlan.INTERVAL.minus(ProofPlan.WARNING)));
        },
        b -> b.past(d -> Proving.allProved(d, b, Duration.ZERO)));
    way(
        ways,
        AlarmKey.HOLDER_LOST,
        Mode.COMMAND,
        1,
        Trouble::anotherTookOver,
        Trouble::theOtherBeats);
    way(
        ways,
        AlarmKey.COMMAND_LOST,
        Mode.COMMAND,
        1,
        b -> b.plc().loseMemory(),
        b -> {
          b.run(10);
          b.enter(new Entry.Resynchronise(b.stamp()));
          b.run(5);
          reset(b, Cause.ORDER_BOOK_DISAGREES, Role.ENGINEER);
        });
    way(
        ways,
        AlarmKey.CAP_REACHED,
        Mode.PROPOSE,
        1,
        b -> {
          // Carried out as fast as it is dosed at the panel.
          b.panelKind = 1;
          b.litresLostPerS = 0.1;
          b.run(240);
          b.panelKind = 0;
          b.litresLostPerS = 0;
        },
        b -> {
          b.coarse(Duration.ofHours(8), 60);
          b.titrate();
          b.run(60);
          b.titrate();
          b.run(60);
          reset(b, Cause.CONCENTRATE_CAP_LONG, Role.CHEMIST);
        });
    ways.put(
        AlarmKey.ORDER_SHORT,
        () ->
            new Way(
                Bench.ready(Mode.COMMAND),
                1,
                b -> {
                  b.pumpWorks = false;
                  b.believe(8.5);
                  b.run(1200);
                },
                b -> {
                  b.pumpWorks = true;
                  reset(b, Cause.CONCENTRATE_NO_FLOW, Role.OPERATOR);
                }));
    ways.put(
        AlarmKey.ORDER_OVER_DELIVERED,
        () ->
            new Way(
                Bench.ready(Mode.COMMAND),
                1,
                b -> {
                  b.lies = w -> counted(w, w.orderOpen() ? 0 : 400);
                  b.believe(8.5);
                },
                b -> reset(b, Cause.CONCENTRATE_MISCOUNT, Role.CHEMIST)));
    ways.put(
        AlarmKey.TOTALIZER_MISMATCH,
        () ->
            new Way(
                Bench.ready(Mode.COMMAND),
                2,
                b -> {
                  b.lies = w -> counted(w, w.orderOpen() ? 0 : -600);
                  b.believe(8.5);
                },
                b -> reset(b, Cause.CONCENTRATE_MISCOUNT, Role.CHEMIST)));
    return ways;
  }

  @ParameterizedTest
  @EnumSource(AlarmKey.class)
  void everyAlarmIsRaisedAndCleared(AlarmKey key) {
    if (ELSEWHERE.contains(key)) {
      watchkeeping(key);
      return;
    }
    Supplier<Way> found = WAYS.get(key);
    assertNotNull(found, key + " is not covered");
    Way way = found.get();
    Bench bench = way.bench();
    assertEquals(AlarmLife.NORMAL, bench.life(key));

    way.raise().accept(bench);
    wait(bench, way.stepS(), key, AlarmLife.UNACKNOWLEDGED);

    bench.enter(new Entry.Acknowledge(bench.stamp(), key.key(), "seen"));
    bench.run(1);
    boolean over = !bench.state.alarm().active(key);
    AlarmDefinition definition = SETTINGS.of(key);
    if (!over) {
      assertEquals(AlarmLife.ACKNOWLEDGED, bench.life(key));
    }

    way.clear().accept(bench);
    if (definition.latching()) {
      wait(bench, way.stepS(), key, AlarmLife.LATCHED_ACKNOWLEDGED);
      bench.coarse(Duration.ofMinutes(5), 10);
      assertEquals(AlarmLife.LATCHED_ACKNOWLEDGED, bench.life(key), "a latched alarm stays");
      bench.enter(new Entry.AlarmReset(bench.stamp(), key.key()));
      bench.run(1);
      assertEquals(AlarmLife.NORMAL, bench.life(key));
    } else {
      wait(bench, way.stepS(), key, AlarmLife.NORMAL);
    }
  }

  @Test
  void theUncoveredListIsEmpty() {
    List<AlarmKey> uncovered =
        List.of(AlarmKey.values()).stream()
            .filter(key -> !WAYS.containsKey(key) && !ELSEWHERE.contains(key))
            .toList();
    assertEquals(List.of(), uncovered);
  }

  @Test
  void aSiphonIsCalledThoughNoMeterCounts() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.litresLostPerS = -0.1;
    wait(bench, 2, AlarmKey.FLOW_WITHOUT_ORDER, AlarmLife.UNACKNOWLEDGED);
  }

  @Test
  void aPourByHandIsNoSiphon() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.volumeL += 60;
    bench.coarse(Duration.ofMinutes(20), 5);
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.FLOW_WITHOUT_ORDER));
  }

  @Test
  void aLostLineCallsOnceAndHidesWhatFollowsFromIt() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.linkUp = false;
    bench.causesElsewhere = Set.of(AlarmKey.LINE_LOST);
    bench.coarse(Duration.ofMinutes(20), 5);
    assertEquals(Set.of(), bench.state.alarm().annunciated());

    bench.linkUp = true;
    bench.causesElsewhere = Set.of();
    bench.coarse(Duration.ofMinutes(20), 5);
    assertEquals(Set.of(), bench.state.alarm().annunciated());
  }

  @Test
  void withoutTheLineAlarmTheSameLossCallsForTheLevel() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.linkUp = false;
    bench.coarse(Duration.ofMinutes(20), 5);
    assertTrue(bench.state.alarm().annunciated().contains(AlarmKey.LEVEL_BAD));
  }

  @Test
  void aDoubtfulTitrationCallsOnlyWhenItIsNotRepeated() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.titrate(13.5);
    bench.coarse(Duration.ofMinutes(29), 5);
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.TITRATION_CONTRADICTS));
    bench.coarse(Duration.ofMinutes(2), 5);
    assertEquals(Set.of(AlarmKey.TITRATION_CONTRADICTS), bench.state.alarm().annunciated());
  }

  @Test
  void lostCommandStandsFromTheTripToTheReset() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.without(Permit.OVERFLOW_CLEAR);
    bench.run(30);
    assertEquals(
        Set.of(AlarmKey.LEVEL_OVERFILL, AlarmKey.COMMAND_LOST), bench.state.alarm().annunciated());
    bench.with(Permit.OVERFLOW_CLEAR);
    bench.run(30);
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.life(AlarmKey.COMMAND_LOST));
    reset(bench, Cause.OVERFLOW_FLOAT, Role.OPERATOR);
    bench.run(1);
    assertFalse(bench.state.alarm().active(AlarmKey.COMMAND_LOST));
    assertEquals(1, bench.count(AlarmKey.COMMAND_LOST, Happening.ACTIVATED));
  }

  /** The loss is seen and not seen by turns; the latch stands all the while. */
  @Test
  void aLossThatComesAndGoesDoesNotMakeLostCommandChatter() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.litresLostPerS = 0.3;
    bench.coarse(Duration.ofMinutes(6), 2);
    assertEquals(List.of(Cause.FAST_LOSS), bench.state.dosing().interlocks().latched());
    for (int i = 0; i < 4; i++) {
      bench.litresLostPerS = -0.3;
      bench.coarse(Duration.ofMinutes(4), 2);
      bench.litresLostPerS = 0.3;
      bench.coarse(Duration.ofMinutes(4), 2);
    }
    assertTrue(bench.state.dosing().interlocks().latched().contains(Cause.FAST_LOSS));
    assertTrue(bench.lossSeenAndGone > 2, "the condition must flicker: " + bench.lossSeenAndGone);
    assertEquals(1, bench.count(AlarmKey.COMMAND_LOST, Happening.ACTIVATED));
    assertEquals(0, bench.count(AlarmKey.COMMAND_LOST, Happening.RETURNED));
  }

  /** A trip that its own alarm tells of, which comes and goes: at most one call, no return. */
  @Test
  void anAlarmOfItsOwnThatComesAndGoesDoesNotEndLostCommand() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.titrate(13.5);
    bench.run(90);
    assertEquals(
        List.of(Cause.TITRATION_DOUBTFUL_HIGH), bench.state.dosing().interlocks().latched());
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.COMMAND_LOST), "a task first");
    bench.titrate();
    bench.until(90, () -> bench.life(AlarmKey.COMMAND_LOST) == AlarmLife.UNACKNOWLEDGED);
    bench.titrate(13.5);
    bench.until(90, () -> bench.estimate().flags().contains(Flag.TITRATION_DOUBTFUL));
    bench.run(5);
    assertTrue(bench.state.alarm().active(AlarmKey.COMMAND_LOST));
    assertEquals(1, bench.count(AlarmKey.COMMAND_LOST, Happening.ACTIVATED));
  }

  @Test
  void lostCommandNamesEveryTripThatIsLatchedAndWhoResetsIt() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.without(Permit.REMOTE);
    bench.run(3);
    assertEquals("1 trip latched", bench.said(AlarmKey.COMMAND_LOST).value());
    assertEquals(
        "latched: local switch (release by operator)",
        bench.said(AlarmKey.COMMAND_LOST).evidence());
    bench.strayMlPerS = 50;
    bench.coarse(Duration.ofMinutes(1), 2);
    String evidence = bench.said(AlarmKey.COMMAND_LOST).evidence();
    assertTrue(evidence.contains("local switch (release by operator)"), evidence);
    assertTrue(evidence.contains("flow without order (reset by engineer)"), evidence);
    assertEquals("2 trips latched", bench.said(AlarmKey.COMMAND_LOST).value());
    assertEquals(
        1,
        bench.count(AlarmKey.COMMAND_LOST, Happening.ACTIVATED),
        "kept current, not called anew");
  }

  @Test
  void theAlarmOfALossSaysHowMuchWasLost() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.litresLostPerS = 0.3;
    wait(bench, 2, AlarmKey.FAST_LOSS, AlarmLife.UNACKNOWLEDGED);
    double first = litres(bench.said(AlarmKey.FAST_LOSS).value(), "lost ");
    double before = bench.volumeL;
    bench.coarse(Duration.ofSeconds(150), 2);
    double second = litres(bench.said(AlarmKey.FAST_LOSS).value(), "lost ");
    assertEquals(
        before - bench.volumeL, second - first, 0.2 * (before - bench.volumeL), "kept current");
    assertTrue(bench.said(AlarmKey.FAST_LOSS).evidence().startsWith("the level falls"));
  }

  @Test
  void aLossThatRestsOnABookingSaysSo() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.enter(new Entry.Addition(bench.stamp(), Product.WATER, 100, false, Optional.empty()));
    wait(bench, 2, AlarmKey.FAST_LOSS, AlarmLife.UNACKNOWLEDGED);
    assertEquals(100, litres(bench.said(AlarmKey.FAST_LOSS).value(), "lost "), 5);
    assertEquals(
        "the level does not show the 100 L that were counted or booked in",
        bench.said(AlarmKey.FAST_LOSS).evidence());
  }

  @Test
  void aSiphonsAlarmSaysHowMuchCameIn() {
    Bench bench = Bench.ready(Mode.OFF);
    double before = bench.volumeL;
    bench.litresLostPerS = -0.1;
    wait(bench, 2, AlarmKey.FLOW_WITHOUT_ORDER, AlarmLife.UNACKNOWLEDGED);
    double came = bench.volumeL - before;
    assertEquals(
        came, litres(bench.said(AlarmKey.FLOW_WITHOUT_ORDER).value(), "gained "), 0.2 * came);
  }

  @Test
  void permitsAndFaultsAreNamedNotNumbered() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.without(Permit.WATER_AVAILABLE);
    bench.strayMlPerS = 50;
    bench.coarse(Duration.ofMinutes(2), 2);
    assertEquals("not given: water available", bench.said(AlarmKey.WATER_OUT).value());
    assertEquals("flow without order", bench.said(AlarmKey.FLOW_WITHOUT_ORDER).value());
    assertEquals("the PLC reports this fault", bench.said(AlarmKey.FLOW_WITHOUT_ORDER).evidence());
  }

  @Test
  void aContradictionNamesBothSides() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.titrate(13.5);
    wait(bench, 10, AlarmKey.TITRATION_CONTRADICTS, AlarmLife.UNACKNOWLEDGED);
    String value = bench.said(AlarmKey.TITRATION_CONTRADICTS).value();
    assertTrue(value.matches("13\\.50 % titrated against (9|10)\\.\\d\\d % expected"), value);
  }

  /** The word for what is dosed is no label's text: it is refused, and no drum is suspected. */
  @Test
  void aSlipInTheProductOfADrumIsNoWrongDrum() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.enter(
        new Entry.DrumChange(bench.stamp(), "Concentrate", "lot 9", 200, true, Plant.CHECKED));
    bench.run(5);
    assertEquals(1, bench.refusals().size());
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.WRONG_PRODUCT));
  }

  private static double litres(String value, String verb) {
    assertTrue(value.startsWith(verb), value);
    return Double.parseDouble(value.substring(verb.length(), value.indexOf(" L in ")));
  }

  @Test
  void aBypassCallsAgainEachShift() {
    Bench bench =
        new Bench(Plant.sheet(Mode.OFF, Set.of(Metal.STEEL), Set.of(Permit.DRAIN_CLOSED)));
    bench.run(2);
    bench.enter(new Entry.Acknowledge(bench.stamp(), AlarmKey.BYPASS_ACTIVE.key(), ""));
    bench.run(1);
    assertEquals(AlarmLife.ACKNOWLEDGED, bench.life(AlarmKey.BYPASS_ACTIVE));
    bench.coarse(Duration.ofHours(8), 60);
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.life(AlarmKey.BYPASS_ACTIVE));
  }

  /** Acknowledging, shelving and taking out of service change nothing in the process. */
  @Test
  void whatPeopleDoToAlarmsChangesNoDose() {
    Bench plain = troubled();
    Bench handled = troubled();
    for (AlarmKey key : AlarmKey.values()) {
      handled.enter(new Entry.Acknowledge(handled.stamp(), key.key(), "seen"));
    }
    plain.run(1);
    handled.run(1);
    for (AlarmKey key : AlarmKey.values()) {
      handled.enter(new Entry.Shelve(handled.stamp(), key.key(), Duration.ofMinutes(10), "known"));
      handled.enter(new Entry.ServiceChange(handled.stamp(), key.key(), true, "known"));
    }
    plain.granted = Set.of(Plant.DRUM);
    handled.granted = Set.of(Plant.DRUM);
    plain.run(120);
    handled.run(120);
    assertEquals(1, plain.submits().size());
    assertEquals(plain.writes, handled.writes);
    assertEquals(plain.state.dosing(), handled.state.dosing());
    assertFalse(plain.state.alarm().equals(handled.state.alarm()));
  }

  /** A weak bath that is dosed while alarms stand. */
  private static Bench troubled() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.enter(new Entry.QualityCheck(bench.stamp(), "staining", false));
    bench.enter(new Entry.QualityCheck(bench.stamp(), "staining", false));
    bench.without(Permit.WATER_AVAILABLE);
    bench.granted = Set.of();
    bench.believe(8.5);
    bench.run(30);
    return bench;
  }

  /** Alarms of a connection and of the site: the same life cycle, conditions from the shell. */
  private static void watchkeeping(AlarmKey key) {
    TankId name = new TankId("line-1");
    AlarmState state = AlarmState.initial(name);
    Now now = Now.at(Plant.T0);
    AlarmDefinition definition = SETTINGS.of(key);
    AlarmCondition there = AlarmCondition.active(key, "", "");
    AlarmCondition gone = AlarmCondition.normal(key);

    state = watch(state, there, List.of(), now);
    AlarmLife atOnce = definition.onDelay().isZero() ? AlarmLife.UNACKNOWLEDGED : AlarmLife.NORMAL;
    assertEquals(atOnce, state.life(key), "the on-delay runs, if there is one");
    now = now.plus(definition.onDelay());
    state = watch(state, there, List.of(), now);
    assertEquals(AlarmLife.UNACKNOWLEDGED, state.life(key));
    assertTrue(state.standingCauses().contains(key));
    Stamp stamp = new Stamp("a", name, "A. Operator", Stamp.Channel.MQTT, now.wall(), now.wall());
    state = watch(state, there, List.of(new Entry.Acknowledge(stamp, key.key(), "")), now);
    assertEquals(AlarmLife.ACKNOWLEDGED, state.life(key));
    state = watch(state, gone, List.of(), now);
    now = now.plus(definition.offDelay());
    state = watch(state, gone, List.of(), now);
    if (definition.latching()) {
      assertEquals(AlarmLife.LATCHED_ACKNOWLEDGED, state.life(key));
      state = watch(state, gone, List.of(new Entry.AlarmReset(stamp, key.key())), now);
    }
    assertEquals(AlarmLife.NORMAL, state.life(key));
  }

  private static AlarmState watch(
      AlarmState state, AlarmCondition condition, List<Entry> entries, Now now) {
    return Watchkeeping.run(SETTINGS, state, List.of(condition), entries, now).alarms().after();
  }

  private static void way(
      Map<AlarmKey, Supplier<Way>> ways,
      AlarmKey key,
      Mode mode,
      int stepS,
      Consumer<Bench> raise,
      Consumer<Bench> clear) {
    ways.put(key, () -> new Way(Bench.ready(mode), stepS, raise, clear));
  }

  private static void permit(Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, Permit permit) {
    way(ways, key, Mode.OFF, 2, b -> b.without(permit), b -> b.with(permit));
  }

  private static void sensor(Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, int bit) {
    way(ways, key, Mode.OFF, 5, b -> b.sensorFaults = 1 << bit, b -> b.sensorFaults = 0);
  }

  private static void level(Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, double litres) {
    way(ways, key, Mode.OFF, 5, b -> b.level(litres), b -> b.level(1000));
  }

  private static void temperature(Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, double celsius) {
    way(ways, key, Mode.OFF, 10, b -> b.temperatureC = celsius, b -> b.temperatureC = 20);
  }

  private static void strength(
      Map<AlarmKey, Supplier<Way>> ways, AlarmKey key, double pct, Metal metal) {
    ways.put(
        key,
        () ->
            new Way(
                new Bench(Plant.sheet(Mode.OFF, Set.of(metal), Set.of())),
                10,
                b -> b.believe(pct),
                b -> b.believe(10)));
  }

  private static void reset(Bench bench, Cause cause, Role role) {
    bench.enter(new Entry.TripReset(bench.stamp(), cause.key(), role));
    bench.run(1);
  }

  /** The PLC counts an order's volume wrongly by {@code ml}. */
  private static PlcWords counted(PlcWords w, long ml) {
    return new PlcWords(
        w.plcHeartbeat(),
        w.permitBits(),
        w.faultBits(),
        w.orderState(),
        w.orderTaken(),
        w.orderTaken() == 0 ? 0 : w.orderDeliveredMl() + ml,
        w.orderReason(),
        w.orderFinal(),
        w.refusedNumber(),
        w.refusedReason(),
        w.abandonedTo(),
        w.holderEpoch(),
        w.heartbeatSeen(),
        w.limitConcentrateMl(),
        w.limitWaterMl(),
        w.limitTimeS(),
        w.contractVersion(),
        w.checkF32(),
        w.checkU32(),
        w.tankNumber());
  }

  private static void wait(Bench bench, int stepS, AlarmKey key, AlarmLife wanted) {
    for (int i = 0; i < 1200 && bench.life(key) != wanted; i++) {
      bench.coarse(Duration.ofSeconds(stepS), stepS);
    }
    assertEquals(
        wanted,
        bench.life(key),
        () ->
            key
                + ": "
                + bench.changes.stream()
                    .map(c -> c.definition().key() + " " + c.what() + " " + c.evidence())
                    .toList()
                + bench.last.view().verdict()
                + bench.estimate()
                + bench.refusals());
  }
}
