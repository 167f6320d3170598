package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.bathwarden.tank.Band;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.random.RandomGenerator;
import org.hipparchus.random.Well19937a;
import org.junit.jupiter.api.Test;

/** Checked against Hipparchus's normal distribution and against drawing baths at random. */
class DoubtLimitTest {

  private static final Band BAND = new Band(10, 8, 12);
  private static final double ALPHA = 0.01;
  private static final int DRAWS = 400_000;

  /** How finely the dose is found. */
  private static final double HALF_ML = 0.0005;

  @Test
  void withoutDoubtTheDosePutsTheStrengthOnTarget() {
    // Worked example 2 of the reference tables: 750 L at 3.2 % to 4.0 %: 6.2500 L.
    double dose =
        DoubtLimit.largestDoseL(
            Belief.certain(3.2, 750), Unsettled.NONE, new Band(4, 3, 5), 100, ALPHA);
    assertEquals(6.25, dose, 1e-9);
  }

  @Test
  void onlyTheStrengthInDoubtGivesTheNormalQuantile() {
    // With V certain and no dose, P is that of C alone.
    Belief belief = new Belief(11, 0.5, 1000, 0, 0, 1, 0);
    double expected = 1 - new NormalDistribution(11, 0.5).cumulativeProbability(12);
    assertEquals(expected, DoubtLimit.probabilityAbove(belief, Unsettled.NONE, 12, 100, 0), 1e-6);
  }

  @Test
  void theBoundHoldsForBathsDrawnAtRandom() {
    Belief[] beliefs = {
      new Belief(8.5, 0.8, 1000, 10, 0, 1, 0.03),
      new Belief(8.5, 1.0, 1000, 30, -20, 1, 0.05),
      new Belief(9.0, 0.9, 1000, 30, 20, 0.95, 0.05),
      new Belief(7.0, 1.5, 600, 20, 0, 1.05, 0.1),
    };
    for (Belief belief : beliefs) {
      for (double common : new double[] {0, 1}) {
        double dose = DoubtLimit.largestDoseL(belief, Unsettled.NONE, BAND, 100, ALPHA);
        assertTrue(dose > 0, belief::toString);
        double above = drawn(belief, dose, 0, common);
        // Standard error of the count is 1.6e-4: four of them.
        assertTrue(above <= ALPHA + 6.4e-4, () -> belief + " gives " + above);
        boolean limitedByDoubt =
            dose < DoubtLimit.toTargetL(belief, Unsettled.NONE, BAND, 100) - 1e-9;
        if (limitedByDoubt && common == 1) {
          assertEquals(ALPHA, above, 6.4e-4, belief::toString);
        }
        double twice = drawn(belief, 2 * dose + 20, 0, common);
        assertTrue(twice > ALPHA + 0.01, () -> "the check can fail: " + twice);
      }
    }
  }

  @Test
  void whatMayBeInTheTankAlreadyCountsInFull() {
    Belief belief = new Belief(8.5, 0.8, 1000, 10, 0, 1, 0.03);
    double free = DoubtLimit.largestDoseL(belief, Unsettled.NONE, BAND, 100, ALPHA);
    double with = DoubtLimit.largestDoseL(belief, new Unsettled(5, 0), BAND, 100, ALPHA);
    assertEquals(free - 5, with, HALF_ML);
    assertTrue(drawn(belief, with, 5, 1) <= ALPHA + 6.4e-4);
  }

  @Test
  void moreDoubtNeverAllowsMore() {
    double last = Double.POSITIVE_INFINITY;
    for (double u = 0; u < 3; u += 0.05) {
      double dose =
          DoubtLimit.largestDoseL(
              new Belief(9, u, 1000, 5, 0, 1, 0.02), Unsettled.NONE, BAND, 100, ALPHA);
      assertTrue(dose <= last + 1e-9, "u " + u);
      last = dose;
    }
    assertEquals(0, last);
  }

  @Test
  void atThreeQuartersOfTheBandDoubtBeginsToLimit() {
    // Φ⁻¹(0.99) = 2.3263 and Φ⁻¹(0.975) = 1.9600 (normal table): a 95 % width of 0.75·4 % is u =
    // 0.7653 %, and target + 2.3263·u = 11.78 % < 12 %; at u = 0.86 % it is the high limit.
    Belief narrow = new Belief(9, 0.7653, 1000, 0, 0, 1, 0);
    Belief wide = new Belief(9, 0.95, 1000, 0, 0, 1, 0);
    double toTarget = DoubtLimit.toTargetL(narrow, Unsettled.NONE, BAND, 100);
    assertEquals(toTarget, DoubtLimit.largestDoseL(narrow, Unsettled.NONE, BAND, 100, ALPHA), 1e-9);
    assertTrue(DoubtLimit.largestDoseL(wide, Unsettled.NONE, BAND, 100, ALPHA) < toTarget - 1);
  }

  @Test
  void theDoseIsThatOfAFineSearchToHalfAMillilitreBelow() {
    SplittableRandom random = new SplittableRandom(5);
    int limited = 0;
    for (int i = 0; i < 200; i++) {
      Belief belief =
          new Belief(
              random.nextDouble(6, 10),
              random.nextDouble(0.2, 1.2),
              random.nextDouble(400, 1500),
              random.nextDouble(0, 30),
              random.nextDouble(-5, 5),
              random.nextDouble(0.9, 1.1),
              random.nextDouble(0, 0.1));
      double fine = finely(belief);
      double dose = DoubtLimit.largestDoseL(belief, Unsettled.NONE, BAND, 100, ALPHA);
      assertTrue(dose <= fine && dose >= fine - HALF_ML, () -> dose + " is not " + fine);
      limited += fine < DoubtLimit.toTargetL(belief, Unsettled.NONE, BAND, 100) ? 1 : 0;
    }
    assertTrue(limited > 50, limited + " doses were limited by doubt");
  }

  /** The largest dose by halving to the last bit of what is left. */
  private static double finely(Belief belief) {
    double low = 0;
    double high = Math.max(0, DoubtLimit.toTargetL(belief, Unsettled.NONE, BAND, 100));
    if (DoubtLimit.probabilityAbove(belief, Unsettled.NONE, 12, 100, high) <= ALPHA) {
      return high;
    }
    for (int i = 0; i < 60; i++) {
      double middle = (low + high) / 2;
      boolean allowed =
          DoubtLimit.probabilityAbove(belief, Unsettled.NONE, 12, 100, middle) <= ALPHA;
      low = allowed ? middle : low;
      high = allowed ? high : middle;
    }
    return low;
  }

  @Test
  void aBeliefThatIsNoneAllowsNothing() {
    double nan = Double.NaN;
    Belief[] bad = {
      new Belief(nan, 0.5, 1000, 0, 0, 1, 0),
      new Belief(9, nan, 1000, 0, 0, 1, 0),
      new Belief(9, 0.5, -1, 0, 0, 1, 0),
      new Belief(9, 0.5, 1000, 0, nan, 1, 0),
      new Belief(9, 0.5, 1000, 0, 0, 0, 0),
    };
    for (Belief belief : bad) {
      assertEquals(0, DoubtLimit.largestDoseL(belief, Unsettled.NONE, BAND, 100, ALPHA));
      assertEquals(1, DoubtLimit.probabilityAbove(belief, Unsettled.NONE, 12, 100, 1));
    }
    Belief good = new Belief(9, 0.5, 1000, 0, 0, 1, 0);
    assertEquals(0, DoubtLimit.largestDoseL(good, new Unsettled(nan, 0), BAND, 100, ALPHA));
    assertEquals(0, DoubtLimit.largestDoseL(good, Unsettled.NONE, BAND, 100, nan));
    assertEquals(0, DoubtLimit.largestDoseL(good, Unsettled.NONE, BAND, 11, ALPHA));
  }

  /**
   * Share of baths above the high limit.
   *
   * @param common 1: the scale's error is that of the strength; 0: independent of it
   */
  private static double drawn(Belief b, double doseL, double pouredL, double common) {
    RandomGenerator random = new Well19937a(11);
    double rho = b.covariance() == 0 ? 0 : b.covariance() / b.concentrationUPct() / b.volumeU20L();
    int above = 0;
    for (int i = 0; i < DRAWS; i++) {
      double z = random.nextGaussian();
      double c = b.concentrationPct() + b.concentrationUPct() * z;
      double other = rho * z + Math.sqrt(1 - rho * rho) * random.nextGaussian();
      double v = b.volume20L() + b.volumeU20L() * other;
      double scaleZ = common * z + (1 - common) * random.nextGaussian();
      double in = (b.deliveredScale() + b.deliveredScaleU() * scaleZ) * (doseL + pouredL);
      if ((c * v + 100 * in) / (v + in) > BAND.highPct()) {
        above++;
      }
    }
    return (double) above / DRAWS;
  }
}
