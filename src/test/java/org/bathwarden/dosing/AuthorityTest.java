package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.bathwarden.estimate.Forecast;
import org.junit.jupiter.api.Test;

/**
 * How long a tank of 1000 L at 10 % (8 to 12 %) doses by itself. Its limits, by the rules of common
 * practice: H = 2·1000/88 = 22.73 L; 1.5 H since the titration, 1 H in 8 h, smallest portion 1.11
 * L.
 */
class AuthorityTest {

  private static final int STEP_MIN = 20;

  private static List<Forecast.Doubt> ahead(DoubleUnaryOperator uPctAtHour) {
    List<Forecast.Doubt> ahead = new ArrayList<>();
    for (int i = 0; i <= 30 * 60 / STEP_MIN; i++) {
      double hour = i * STEP_MIN / 60.0;
      Instant at = Plant.T0.plus(Duration.ofMinutes((long) i * STEP_MIN));
      ahead.add(new Forecast.Doubt(at, uPctAtHour.applyAsDouble(hour), 1000, 3, 0));
    }
    return ahead;
  }

  private static Authority.End end(
      double usedLPerH, boolean reduced, DoubleUnaryOperator uPctAtHour) {
    return new Authority(
            Plant.SHEET,
            Plant.LIMITS,
            Plant.titrated(0),
            Ledger.EMPTY.titrationAccepted(Plant.T0.minusSeconds(3600)),
            reduced,
            usedLPerH,
            0)
        .end(ahead(uPctAtHour));
  }

  private static double hours(Authority.End end) {
    return Duration.between(Plant.T0, end.at()).toMinutes() / 60.0;
  }

  @Test
  void theCapSinceTheTitrationEndsItWhereTheHoursOfAuthoritySay() {
    // 34.09 L at 2 L/h last 17.05 h, within a portion of 1.11 L that is too small or still wanted.
    Authority.End end = end(2, false, hour -> 0.1);
    assertEquals(17.05, hours(end), 0.5);
    assertTrue(end.because().contains("since the last accepted titration"), end.because());
    assertEquals(Optional.empty(), end.reducedFrom());
  }

  @Test
  void theCapOfEightHoursEndsItEarlierUnderHeavyUse() {
    // 22.73 L at 3.5 L/h last 6.5 h; 8 h of it would be 28 L.
    Authority.End end = end(3.5, false, hour -> 0.1);
    assertEquals(6.3, hours(end), 0.5);
    assertEquals("the 8 h cap is then used up", end.because());
  }

  @Test
  void withLittleUseTheSiteRulesEndIt() {
    // Titrated an hour ago; due after 24 h, reduced 2 h and held 4 h after that.
    Authority.End end = end(0.2, false, hour -> 0.1);
    assertEquals(27, hours(end), 1e-9);
    assertEquals("the titration is then overdue", end.because());
    assertEquals(25, Duration.between(Plant.T0, end.reducedFrom().orElseThrow()).toHours(), 0);
  }

  @Test
  void doubtReducesPortionsAndThenEndsIt() {
    // Nothing is used. Reduced from a width of 3 points (u 0.765), held from 4 (u 1.020).
    Authority.End end = end(0, false, hour -> 0.1 * hour);
    assertEquals(10.3, hours(end), 0.2);
    assertEquals("the interval is then too wide to dose by", end.because());
    double reduced = Duration.between(Plant.T0, end.reducedFrom().orElseThrow()).toMinutes() / 60.0;
    assertEquals(7.8, reduced, 0.2);
  }

  @Test
  void aPortionThatCouldLiftTheBathTooHighEndsItBeforeThat() {
    // From target, P(C > 12) is 1 % at u = 2/2.326 = 0.86 (normal quantile), and 0.5 L are used.
    Authority.End end = end(1.2, false, hour -> 0.1 * hour);
    assertEquals(8.7, hours(end), 1.1);
    assertEquals("a portion could then lift the bath above the high limit", end.because());
  }

  @Test
  void reducedCapsLastLessThanHalfAsLong() {
    // Half of (what is lost + H/2) is used up once 11.36 L are lost, within two portions: 8.7 h.
    assertEquals(8.7, hours(end(1.3, true, hour -> 0.1)), 1.7);
    // 34.09 L at 1.3 L/h would last 26.2 h, but from 25 h on the titration is late and caps halve.
    assertEquals(25.5, hours(end(1.3, false, hour -> 0.1)), 0.5);
  }
}
