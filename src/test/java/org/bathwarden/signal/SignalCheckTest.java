package org.bathwarden.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import java.util.OptionalInt;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.signal.SignalSettings.Meter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What a pass may believe. Limits under test are our own defaults, not facts of the trade. */
class SignalCheckTest {

  private static final Instant START = Instant.parse("2026-03-02T06:00:00Z");
  private static final SignalSettings SETTINGS =
      SignalSettings.defaults(1000, new Meter(50, 10), new Meter(500, 1000));

  private final Map<Point, Double> values = new EnumMap<>(Point.class);
  private SignalState state = SignalState.initial(START);
  private Instant now = START;
  private int heartbeat;
  private boolean settled = true;

  @BeforeEach
  void plant() {
    values.put(Point.LEVEL, 900.0);
    values.put(Point.TEMPERATURE, 60.0);
    values.put(Point.CONDUCTIVITY, 45.0);
    values.put(Point.PH, 11.5);
    values.put(Point.CONCENTRATE_TOTAL, 1000.0);
    values.put(Point.WATER_TOTAL, 2000.0);
    values.put(Point.LOADS_TOTAL, 10.0);
  }

  private Signals scan(Duration later, boolean beating) {
    now = now.plus(later);
    if (beating) {
      heartbeat = (heartbeat + 1) & 0xFFFF;
    }
    Map<Point, Reading> raw = new EnumMap<>(Point.class);
    values.forEach(
        (point, value) ->
            raw.put(
                point,
                Double.isNaN(value)
                    ? Reading.bad(Reason.NOT_A_NUMBER, now)
                    : Reading.good(value, now)));
    SignalCheck.Step step =
        SignalCheck.run(
            SETTINGS, state, new SignalCheck.Raw(now, raw, OptionalInt.of(heartbeat), settled));
    state = step.after();
    return step.signals();
  }

  private Signals scan() {
    return scan(Duration.ofSeconds(1), true);
  }

  /** Line contract, controller rule 5: a siphon goes on while the link shows the same image. */
  @Test
  void whatFlowsWhileTheImageStandsStillIsNoReset() {
    scan();
    for (int second = 0; second < 20; second++) {
      scan(Duration.ofSeconds(1), false);
    }
    double atFullRateMl = 20 * SETTINGS.concentrate().ratedMlPerS();
    values.merge(Point.CONCENTRATE_TOTAL, atFullRateMl, Double::sum);
    Signals signals = scan();
    assertFalse(signals.totalizerReset());
    assertEquals(atFullRateMl, signals.concentrateMl());
    values.merge(Point.CONCENTRATE_TOTAL, atFullRateMl, Double::sum);
    assertTrue(scan().totalizerReset(), "and in one second that is one");
  }

  @Test
  void aPlcWhoseHeartbeatStandsStillForThreeSecondsMakesEveryValueStale() {
    scan();
    assertTrue(scan(Duration.ofMillis(2900), false).reading(Point.LEVEL).quality().good());
    Signals signals = scan(Duration.ofMillis(100), false);
    assertFalse(signals.plcAlive());
    for (Point point : Point.values()) {
      assertEquals(Reason.STALE, signals.reading(point).quality().reason(), point.name());
      assertTrue(Double.isNaN(signals.value(point)), point.name());
    }
    assertTrue(scan().plcAlive(), "and it comes back with the heartbeat");
  }

  @Test
  void aTotalizerIsFollowedOverItsWrapAtTwoToThe32() {
    values.put(Point.CONCENTRATE_TOTAL, 4294967290.0);
    scan();
    values.put(Point.CONCENTRATE_TOTAL, 14.0);
    Signals signals = scan();
    assertEquals(20, signals.concentrateMl());
    assertFalse(signals.totalizerReset());
  }

  @Test
  void aDifferenceBeyondThePumpIsAResetAndNothingIsBooked() {
    scan();
    values.put(Point.CONCENTRATE_TOTAL, 0.0);
    Signals signals = scan();
    assertTrue(signals.totalizerReset());
    assertTrue(Double.isNaN(signals.concentrateMl()));
    values.put(Point.CONCENTRATE_TOTAL, 50.0);
    assertEquals(50, scan().concentrateMl(), "the new count is the new baseline");
  }

  @Test
  void whatFlowedWhileTheTotalizerCouldNotBeReadIsBridged() {
    scan();
    values.put(Point.WATER_TOTAL, Double.NaN);
    assertEquals(0, scan().waterMl());
    scan(Duration.ofMinutes(2), true);
    values.put(Point.WATER_TOTAL, 12000.0);
    assertEquals(10000, scan().waterMl());
  }

  @Test
  void whatFlowedInAPauseOfUnknownLengthIsNoResetAndAResetInItIsOne() {
    scan();
    SignalState before = state.afterUnknownPause();
    state = before;
    values.merge(Point.CONCENTRATE_TOTAL, 5000.0, Double::sum);
    assertEquals(5000.0, scan().concentrateMl());
    state = before;
    values.put(Point.CONCENTRATE_TOTAL, 0.0);
    assertTrue(scan().totalizerReset());
  }

  @Test
  void aWholePulseInOneScanIsNoReset() {
    scan();
    values.put(Point.WATER_TOTAL, 3000.0);
    assertEquals(1000, scan().waterMl());
  }

  @Test
  void aJumpIsDoubtedForAMinuteAndThenBelieved() {
    scan();
    values.put(Point.CONDUCTIVITY, 90.0);
    assertEquals(Reason.RATE, scan().reading(Point.CONDUCTIVITY).quality().reason());
    assertTrue(Double.isNaN(scan(Duration.ofSeconds(58), true).value(Point.CONDUCTIVITY)));
    assertEquals(90, scan(Duration.ofSeconds(2), true).value(Point.CONDUCTIVITY));
  }

  @Test
  void aValueThatDoesNotMoveWhileTheTankIsWorkedIsFrozenAndOneOverAWeekendIsNot() {
    scan();
    Signals weekend = scan(Duration.ofDays(2), true);
    assertTrue(weekend.reading(Point.LEVEL).quality().good(), "nothing was washed");
    values.put(Point.LOADS_TOTAL, 20.0);
    values.put(Point.TEMPERATURE, 61.0);
    Signals worked = scan(Duration.ofMinutes(31), true);
    assertEquals(Reason.FROZEN, worked.reading(Point.LEVEL).quality().reason());
    assertTrue(worked.reading(Point.TEMPERATURE).quality().good());
    values.put(Point.LEVEL, 900.1);
    assertTrue(scan().reading(Point.LEVEL).quality().good(), "it moves again");
  }

  @Test
  void theSettledLevelIsTheMedianOfTwoSettledMinutes() {
    for (int second = 0; second < 119; second++) {
      values.put(Point.LEVEL, second % 2 == 0 ? 900.0 : 902.0);
      assertTrue(Double.isNaN(scan().settledLevelL()), "too early");
    }
    scan();
    assertEquals(901, scan().settledLevelL(), 1.0);
    settled = false;
    assertTrue(Double.isNaN(scan().settledLevelL()), "a load went in");
  }

  @Test
  void nothingReadGivesNothingBelievedAndNoError() {
    SignalCheck.Step step =
        SignalCheck.run(
            SETTINGS,
            SignalState.initial(START),
            new SignalCheck.Raw(START, Map.of(), OptionalInt.empty(), false));
    for (Point point : Point.values()) {
      assertTrue(Double.isNaN(step.signals().value(point)), point.name());
    }
    assertFalse(step.signals().plcAlive());
  }
}
