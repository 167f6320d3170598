package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import org.junit.jupiter.api.Test;

/** The allowance of the invented tank is 5 L of noise and 40 L of a load: judgement, no source. */
class LossWatchTest {

  private static final double LARGEST_L_PER_H = 15;

  /** Minutes until a loss is seen as fast, up to two hours; −1 if it never is. */
  private static int seenAfter(double lossLPerH, double addedLPerH) {
    LossWatch watch = LossWatch.EMPTY;
    for (int minute = 0; minute <= 120; minute++) {
      Instant now = Plant.T0.plus(Duration.ofMinutes(minute));
      double level = 1000 + (addedLPerH - lossLPerH) * minute / 60;
      watch = watch.step(Plant.SHEET, level, 20, minute == 0 ? 0 : addedLPerH / 60, now);
      if (watch.fast(Plant.SHEET, level, 20, LARGEST_L_PER_H, now)) {
        return minute;
      }
    }
    return -1;
  }

  @Test
  void explainedLossIsNone() {
    assertEquals(-1, seenAfter(LARGEST_L_PER_H, 0));
    assertEquals(-1, seenAfter(3 * LARGEST_L_PER_H, 0));
    assertEquals(-1, seenAfter(LARGEST_L_PER_H, 200));
  }

  @Test
  void aDrainingTankIsSeenInAMinuteAndALeakInTheHalfHour() {
    // 100 L/min: 100 > 45 + 0.75. 160 L/h: 45/(160 − 45) h = 23.5 min.
    assertEquals(1, seenAfter(6000, 0));
    assertEquals(24, seenAfter(160, 0));
    assertEquals(24, seenAfter(160, 100), "water let in does not hide it");
  }

  @Test
  void withoutALevelNothingIsJudged() {
    LossWatch watch = LossWatch.EMPTY.step(Plant.SHEET, 1000, 20, 0, Plant.T0);
    Instant later = Plant.T0.plusSeconds(120);
    LossWatch blind = watch.step(Plant.SHEET, Double.NaN, 20, 0, later);
    assertEquals(1, blind.samples().size());
    assertFalse(blind.fast(Plant.SHEET, Double.NaN, 20, 0, later));
    assertTrue(blind.fast(Plant.SHEET, 900, 20, Double.NaN, later));
    assertEquals(LossWatch.EMPTY, blind.step(Plant.SHEET, 900, 20, Double.NaN, later));
  }
}
