package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/**
 * A dose that was counted in full though nobody saw whether it flowed. The probe is not read, so
 * that only the balance speaks.
 */
class UnseenFlowTest {

  private static final EstimatorSheet SHEET = Tanks.sheet();
  private static final double CONCENTRATE_L = 6;
  private static final double WATER_L = 60;

  /** An hour after a count of so much, of which {@code told} may be said. */
  private static Estimate after(
      double concentrateL, double waterL, List<? extends Entry> told, double titratedLaterPct) {
    EstimateState state = Estimator.start(SHEET, Tanks.START);
    state = Estimator.run(SHEET, state, Tanks.blind(1), List.of(Tanks.result("t", 1, 5, 0.05)));
    for (int minute = 2; minute <= 120; minute++) {
      boolean counted = minute == 60;
      Sample sample =
          new Sample(
              Tanks.minute(minute),
              Double.NaN,
              60,
              Double.NaN,
              12,
              counted ? 1000 * concentrateL : 0,
              counted ? 1000 * waterL : 0,
              0,
              true,
              true);
      List<Entry> entries = minute == 61 ? List.copyOf(told) : List.of();
      if (minute == 120 && titratedLaterPct > 0) {
        entries = List.of(Tanks.result("late", 30, titratedLaterPct, 0.05));
      }
      state = Estimator.run(SHEET, state, sample, entries);
    }
    return Estimator.estimate(SHEET, state);
  }

  private static List<Entry> unseen(Product product, double litres) {
    return List.of(new Entry.UnseenFlow(Tanks.stamp("unseen", 61, 60.5), product, litres));
  }

  @Test
  void theIntervalHoldsBothWhatMayHaveFlowedAndThatNothingDid() {
    Estimate full = after(CONCENTRATE_L, 0, List.of(), 0);
    Estimate none = after(0, 0, List.of(), 0);
    Estimate unseen = after(CONCENTRATE_L, 0, unseen(Product.CONCENTRATE, CONCENTRATE_L), 0);
    double middle = (full.concentrationPct() + none.concentrationPct()) / 2;
    assertEquals(middle, unseen.concentrationPct(), 0.01);
    assertTrue(unseen.low95Pct() <= none.concentrationPct(), unseen + " does not hold " + none);
    assertTrue(unseen.high95Pct() >= full.concentrationPct(), unseen + " does not hold " + full);
    assertTrue(
        full.low95Pct() > none.concentrationPct(), "without the doubt it would not: " + full);
    assertTrue(none.high95Pct() < full.concentrationPct(), "nor would this: " + none);
  }

  @Test
  void ofWaterTheVolumeIsInDoubt() {
    Estimate full = after(0, WATER_L, List.of(), 0);
    Estimate none = after(0, 0, List.of(), 0);
    Estimate unseen = after(0, WATER_L, unseen(Product.WATER, WATER_L), 0);
    assertEquals((full.volumeL() + none.volumeL()) / 2, unseen.volumeL(), 0.5);
    assertTrue(unseen.low95Pct() <= full.concentrationPct(), unseen + " does not hold " + full);
    assertTrue(unseen.high95Pct() >= none.concentrationPct(), unseen + " does not hold " + none);
    assertTrue(unseen.volumeUL() >= WATER_L / Math.sqrt(12), unseen.toString());
  }

  @Test
  void itStaysInTheHistoryThatALateTitrationRunsAgain() {
    Estimate full = after(CONCENTRATE_L, 0, List.of(), 5.1);
    Estimate unseen = after(CONCENTRATE_L, 0, unseen(Product.CONCENTRATE, CONCENTRATE_L), 5.1);
    assertTrue(unseen.high95Pct() - unseen.low95Pct() > full.high95Pct() - full.low95Pct());
    assertTrue(unseen.high95Pct() >= full.concentrationPct());
  }

  @Test
  void aCountThatIsNoVolumeSaysNothing() {
    Estimate full = after(CONCENTRATE_L, 0, List.of(), 0);
    for (double litres : new double[] {0, -1, Double.NaN, 1e9}) {
      assertEquals(full, after(CONCENTRATE_L, 0, unseen(Product.CONCENTRATE, litres), 0));
    }
  }
}
