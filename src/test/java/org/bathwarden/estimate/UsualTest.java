package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** What is told is what two filters, one with each prior, would tell together. */
class UsualTest {

  private static final int I = Belief.TITRATION;
  private static final double WIDE = Priors.standard().titrationShare();
  private static final double GOOD = 0.012;
  private static final double R = 0.01 * 0.01;

  /** A bias was measured through a state it is mixed with, once. */
  private static Gaussian measured(double sd, double read) {
    Gaussian state = new Gaussian(Belief.STATES);
    double rate = Priors.standard().gainRateShare();
    state.set(Belief.GAIN_RATE, 0, rate * rate);
    state.set(I, 0, sd * sd);
    state.set(Belief.SLOPE, 0, 0.02 * 0.02);
    double[] h = new double[Belief.STATES];
    h[I] = 1;
    h[Belief.SLOPE] = 1;
    state.update(h, read, R);
    return state;
  }

  private static double evidence(double sd, double read) {
    double s = sd * sd + 0.02 * 0.02 + R;
    return Math.exp(-read * read / (2 * s)) / Math.sqrt(s);
  }

  @Test
  void tellsWhatBothPriorsWouldTellTogether() {
    for (double read : new double[] {0, 0.01, -0.04, 0.09}) {
      Gaussian wide = measured(WIDE, read);
      Gaussian narrow = measured(GOOD, read);
      double share = 0.6 * evidence(GOOD, read);
      share /= share + 0.4 * evidence(WIDE, read);
      Mixture both = new Mixture();
      both.add(share, narrow);
      both.add(1 - share, wide);
      Gaussian expected = new Gaussian(Belief.STATES);
      both.into(expected);
      Gaussian told = Usual.of(wide, Priors.standard());
      for (int i : new int[] {I, Belief.SLOPE}) {
        assertEquals(expected.x[i], told.x[i], 1e-12, "mean at " + read);
        assertEquals(expected.variance(i), told.variance(i), 1e-12, "variance at " + read);
      }
      assertEquals(
          expected.p[I * Belief.STATES + Belief.SLOPE],
          told.p[I * Belief.STATES + Belief.SLOPE],
          1e-12);
    }
  }

  @Test
  void leavesTheFilterAlone() {
    Gaussian filtered = measured(WIDE, 0.03);
    double mean = filtered.x[I];
    double variance = filtered.variance(I);
    assertTrue(Usual.of(filtered, Priors.standard()).variance(I) < variance);
    assertEquals(mean, filtered.x[I]);
    assertEquals(variance, filtered.variance(I));
  }
}
