package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** Each cause is seen by one change to a bath in which there is none. */
class CausesTest {

  private static final int ALL = Plant.ALL_PERMITS;
  private static final CauseInput QUIET = Plant.quiet();

  @Test
  void aQuietBathShowsNone() {
    assertEquals(Set.of(), Causes.observe(QUIET));
  }

  @TestFactory
  Stream<DynamicTest> eachIsSeenAloneByOneChange() {
    Map<Cause, UnaryOperator<CauseInput>> changes = new LinkedHashMap<>();
    changes.put(Cause.EMERGENCY_STOP, without(Permit.EMERGENCY_STOP));
    changes.put(Cause.OVERFLOW_FLOAT, without(Permit.OVERFLOW_CLEAR));
    changes.put(Cause.LOCAL_SWITCH, without(Permit.REMOTE));
    changes.put(Cause.SOMEONE_AT_TANK, without(Permit.NO_ONE_AT_TANK));
    changes.put(Cause.CIRCULATION_OFF, without(Permit.CIRCULATION));
    changes.put(Cause.DRAIN_OPEN, without(Permit.DRAIN_CLOSED));
    changes.put(Cause.CONCENTRATE_OUT, without(Permit.CONCENTRATE_AVAILABLE));
    changes.put(Cause.WATER_OUT, without(Permit.WATER_AVAILABLE));
    changes.put(Cause.PANEL_RUN, fault(LineFault.PANEL_RUN));
    changes.put(Cause.FLOW_WITHOUT_ORDER, fault(LineFault.FLOW_WITHOUT_ORDER));
    changes.put(Cause.OUTPUT_DID_NOT_DROP, fault(LineFault.OUTPUT_DID_NOT_DROP));
    changes.put(
        Cause.PERMIT_NOT_WIRED, facts(line -> lineOf(line, Set.of(Permit.DRAIN_CLOSED), 10, true)));
    changes.put(Cause.RESTARTED, facts(line -> lineOf(line, Set.of(), 2, true)));
    changes.put(Cause.BATH_NOT_IN_USE, bath(Bath.in(BathState.DRAINING, Plant.T0)));
    changes.put(Cause.BATH_STANDING, bath(Bath.in(BathState.STOOD_DOWN, Plant.T0)));
    changes.put(
        Cause.BATH_NOT_MIXED,
        bath(
            new Bath(
                BathState.IN_USE,
                Plant.T0,
                Optional.empty(),
                Optional.empty(),
                true,
                Optional.empty())));
    changes.put(
        Cause.BATH_NOT_TITRATED,
        bath(
            new Bath(
                BathState.IN_USE,
                Plant.T0,
                Optional.empty(),
                Optional.empty(),
                false,
                Optional.of(Plant.T0))));
    changes.put(Cause.MIXING_WAIT, ledger(flow(Product.WATER, 1, Duration.ofMinutes(9))));
    changes.put(Cause.LEVEL_UNSETTLED, signals(Map.of(), false));
    changes.put(Cause.LEVEL_ABOVE_WORKING, point(Point.LEVEL, 1001));
    changes.put(Cause.LEVEL_BELOW_MINIMUM, point(Point.LEVEL, 699));
    changes.put(Cause.TEMPERATURE_LOW, in -> at(point(Point.TEMPERATURE, 14.9).apply(in), 990));
    changes.put(Cause.TEMPERATURE_HIGH, in -> at(point(Point.TEMPERATURE, 30.1).apply(in), 990));
    changes.put(Cause.METAL_LIMIT, point(Point.PH, 13.6));
    changes.put(Cause.PH_LOW, point(Point.PH, 8.9));
    changes.put(Cause.PH_BAD, bad(Point.PH));
    changes.put(Cause.CONDUCTIVITY_BAD, bad(Point.CONDUCTIVITY));
    changes.put(Cause.LEVEL_BAD, bad(Point.LEVEL));
    changes.put(Cause.TEMPERATURE_BAD, bad(Point.TEMPERATURE));
    // 95 % widths of 3.02 % and 3.98 % in a band of 4 %: above three quarters, not above the whole.
    changes.put(Cause.INTERVAL_WIDE, belief(Plant.belief(10, 1.0, 1000)));
    changes.put(Cause.TITRATION_DOUBTFUL_HIGH, in -> titrated(in, 3600, true));
    changes.put(Cause.TITRATION_LATE, in -> titrated(in, 27 * 3600, false));
    changes.put(Cause.HAND_CONCENTRATE_OPEN, hand(Product.CONCENTRATE));
    changes.put(Cause.HAND_WATER_OPEN, hand(Product.WATER));
    changes.put(
        Cause.CONCENTRATE_CAP_HOUR,
        ledger(flow(Product.CONCENTRATE, 10.5, Duration.ofMinutes(30))));
    changes.put(
        Cause.CONCENTRATE_CAP_LONG, ledger(flow(Product.CONCENTRATE, 22, Duration.ofHours(3))));
    changes.put(Cause.WATER_CAP_HOUR, ledger(flow(Product.WATER, 46, Duration.ofMinutes(30))));
    changes.put(Cause.WATER_CAP_LONG, ledger(flow(Product.WATER, 146, Duration.ofHours(3))));
    changes.put(Cause.STORE_FAILING, around(new Surroundings(false, Set.of(), 0, false, false)));
    changes.put(Cause.OVERRUN, around(new Surroundings(true, Set.of(), 3, false, false)));
    changes.put(Cause.CLOCK_STEP, around(new Surroundings(true, Set.of(), 0, true, false)));
    changes.put(Cause.PASS_FAILED, around(new Surroundings(true, Set.of(), 0, false, true)));
    changes.put(Cause.DEPOSED, facts(line -> found(line, Cause.DEPOSED)));
    changes.put(Cause.RECORD_DAMAGED, facts(line -> found(line, Cause.RECORD_DAMAGED)));
    return changes.entrySet().stream()
        .map(
            change ->
                DynamicTest.dynamicTest(
                    change.getKey().key(),
                    () ->
                        assertEquals(
                            Set.of(change.getKey()),
                            Causes.observe(change.getValue().apply(QUIET)))));
  }

  @Test
  void aWideIntervalHoldsAndNoTitrationHolds() {
    assertEquals(
        EnumSet.of(Cause.INTERVAL_WIDE, Cause.INTERVAL_TOO_WIDE),
        Causes.observe(belief(Plant.belief(10, 1.05, 1000)).apply(QUIET)));
    assertEquals(
        EnumSet.of(Cause.INTERVAL_TOO_WIDE),
        Causes.observe(belief(Plant.belief(Double.NaN, 1, 1000)).apply(QUIET)));
    assertEquals(
        EnumSet.of(Cause.TITRATION_LATE, Cause.TITRATION_OVERDUE),
        Causes.observe(titrated(QUIET, 29 * 3600, false)));
    assertEquals(
        EnumSet.of(Cause.TITRATION_OVERDUE),
        Causes.observe(
            new CauseInput(
                QUIET.sheet(),
                QUIET.limits(),
                QUIET.line(),
                QUIET.signals(),
                QUIET.belief(),
                QUIET.bath(),
                TitrationFacts.NONE,
                QUIET.ledger(),
                QUIET.around(),
                QUIET.now())));
  }

  @Test
  void withoutWordsNothingIsConcludedFromPermits() {
    LineFacts gone =
        new LineFacts(
            Optional.empty(),
            false,
            Set.of(),
            Optional.empty(),
            Optional.empty(),
            10,
            true,
            Set.of());
    assertEquals(Set.of(Cause.DATA_STALE), Causes.observe(facts(line -> gone).apply(QUIET)));
  }

  @Test
  void aWrongConstantIsSeen() {
    PlcWords w = Plant.words(ALL, 0);
    PlcWords wrong =
        new PlcWords(
            1,
            ALL,
            0,
            0,
            0,
            0,
            0,
            0,
            0,
            0,
            0,
            1,
            0,
            20000,
            50000,
            1200,
            2,
            w.checkF32(),
            w.checkU32(),
            2);
    assertEquals(
        Set.of(Cause.CONTRACT_CONSTANT_WRONG),
        Causes.observe(facts(line -> Plant.line(wrong)).apply(QUIET)));
  }

  @Test
  void roomIsSmallerThanAPortion() {
    // 1150 − 40 − 10 = 1100 L less the smallest portion of 1.11 L.
    assertTrue(Causes.observe(at(QUIET, 1099)).contains(Cause.NO_ROOM));
    assertTrue(!Causes.observe(at(QUIET, 1098)).contains(Cause.NO_ROOM));
  }

  @Test
  void aStrongBathMayBeDilutedAboveItsWorkingLevel() {
    CauseInput strong = belief(Plant.belief(12.5, 0.2, 1000)).apply(QUIET);
    assertEquals(Set.of(), Causes.observe(at(strong, 1050)));
  }

  @Test
  void theStrictestMetalCountsAndTheSheetSaysAtWhichTemperature() {
    TankSheet mixed = Plant.sheet(Set.of(Metal.STEEL, Metal.ALUMINIUM));
    CauseInput in = sheet(mixed);
    assertEquals(Set.of(Cause.METAL_LIMIT), Causes.observe(in), "pH 12 on aluminium");
    CauseInput strong = belief(Plant.belief(11.5, 0.2, 1000)).apply(point(Point.PH, 10).apply(in));
    assertEquals(Set.of(Cause.METAL_LIMIT), Causes.observe(strong), "11.5 % on aluminium");
  }

  @Test
  void anEmptyTankIsNotALowOne() {
    CauseInput empty = bath(Bath.in(BathState.EMPTY, Plant.T0)).apply(at(QUIET, 3));
    assertEquals(Set.of(Cause.BATH_NOT_IN_USE), Causes.observe(empty));
  }

  private static UnaryOperator<CauseInput> facts(UnaryOperator<LineFacts> change) {
    return in -> with(in, change.apply(in.line()), in.signals(), in.belief(), in.bath());
  }

  private static UnaryOperator<CauseInput> without(Permit permit) {
    return facts(line -> Plant.line(Plant.words(ALL & ~permit.bit(), 0)));
  }

  private static UnaryOperator<CauseInput> fault(LineFault fault) {
    return facts(line -> Plant.line(Plant.words(ALL, fault.bit())));
  }

  private static LineFacts lineOf(
      LineFacts line, Set<Permit> constant, long scans, boolean settled) {
    return new LineFacts(
        line.words(), true, constant, line.openOrder(), line.handPour(), scans, settled, Set.of());
  }

  private static LineFacts found(LineFacts line, Cause cause) {
    return new LineFacts(
        line.words(), true, Set.of(), line.openOrder(), line.handPour(), 10, true, Set.of(cause));
  }

  private static UnaryOperator<CauseInput> hand(Product product) {
    return facts(
        line ->
            new LineFacts(
                line.words(),
                true,
                Set.of(),
                Optional.empty(),
                Optional.of(product),
                10,
                true,
                Set.of()));
  }

  private static UnaryOperator<CauseInput> bath(Bath bath) {
    return in -> with(in, in.line(), in.signals(), in.belief(), bath);
  }

  private static UnaryOperator<CauseInput> belief(Belief belief) {
    return in -> with(in, in.line(), in.signals(), belief, in.bath());
  }

  private static UnaryOperator<CauseInput> point(Point point, double value) {
    return signals(Map.of(point, Reading.good(value, Plant.T0)), true);
  }

  private static CauseInput at(CauseInput in, double levelL) {
    Map<Point, Reading> readings = new LinkedHashMap<>(in.signals().readings());
    readings.put(Point.LEVEL, Reading.good(levelL, Plant.T0));
    return signals(readings, true).apply(in);
  }

  private static UnaryOperator<CauseInput> bad(Point point) {
    return signals(Map.of(point, Reading.bad(Quality.Reason.FAULT_DECLARED, Plant.T0)), true);
  }

  private static UnaryOperator<CauseInput> signals(Map<Point, Reading> changed, boolean settled) {
    Signals s = Plant.signals(changed);
    Signals signals = new Signals(Plant.T0, s.readings(), 1000, 0, 0, 0, false, settled, true);
    return in -> with(in, in.line(), signals, in.belief(), in.bath());
  }

  private static UnaryOperator<CauseInput> ledger(Flow flow) {
    return in ->
        new CauseInput(
            in.sheet(),
            in.limits(),
            in.line(),
            in.signals(),
            in.belief(),
            in.bath(),
            in.titration(),
            Ledger.EMPTY.book(flow),
            in.around(),
            in.now());
  }

  private static Flow flow(Product product, double litres, Duration ago) {
    Instant at = Plant.T0.minus(ago);
    return new Flow(product, litres, at, Flow.Origin.HAND);
  }

  private static UnaryOperator<CauseInput> around(Surroundings around) {
    return in ->
        new CauseInput(
            in.sheet(),
            in.limits(),
            in.line(),
            in.signals(),
            in.belief(),
            in.bath(),
            in.titration(),
            in.ledger(),
            around,
            in.now());
  }

  private static CauseInput titrated(CauseInput in, long secondsAgo, boolean doubtfulHigh) {
    TitrationFacts facts =
        new TitrationFacts(
            Optional.of(Plant.T0.minusSeconds(secondsAgo)),
            doubtfulHigh,
            0,
            10,
            0,
            TitrationCalls.NONE);
    return new CauseInput(
        in.sheet(),
        in.limits(),
        in.line(),
        in.signals(),
        in.belief(),
        in.bath(),
        facts,
        in.ledger(),
        in.around(),
        in.now());
  }

  private static CauseInput sheet(TankSheet sheet) {
    CauseInput in = QUIET;
    return new CauseInput(
        sheet,
        in.limits(),
        in.line(),
        in.signals(),
        in.belief(),
        in.bath(),
        in.titration(),
        in.ledger(),
        in.around(),
        in.now());
  }

  private static CauseInput with(
      CauseInput in, LineFacts line, Signals signals, Belief belief, Bath bath) {
    return new CauseInput(
        in.sheet(),
        in.limits(),
        line,
        signals,
        belief,
        bath,
        in.titration(),
        in.ledger(),
        in.around(),
        in.now());
  }
}
