package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.junit.jupiter.api.Test;

/**
 * No estimate can beat the bound of Cramér and Rao, and a good one comes near it. The bound is
 * worked out here from Fisher's information, independent of the filter: Var ≥ 1/(N·I), I = E[(d ln
 * p/dθ)²] (Cramér, Mathematical Methods of Statistics, 32.3).
 */
class CramerRaoTest {

  private static final int TITRATIONS = 40;
  private static final int RUNS = 1500;

  /** Information on the true need of drops {@code d} in one whole count with scatter. */
  private static double information(double d, double scatter) {
    NormalDistribution normal = new NormalDistribution();
    double sum = 0;
    for (int count = (int) d - 8; count <= d + 8; count++) {
      double low = (count - 1 - d) / scatter;
      double high = (count - d) / scatter;
      double p = normal.cumulativeProbability(high) - normal.cumulativeProbability(low);
      double slope = (normal.density(low) - normal.density(high)) / scatter;
      sum += p > 1e-12 ? slope * slope / p : 0;
    }
    return sum;
  }

  /** Mean squared error of the belief after all titrations, drops squared. */
  private static double meanSquare(double d, double scatter, Random random) {
    double squares = 0;
    for (int run = 0; run < RUNS; run++) {
      double mean = d + 3 * random.nextGaussian();
      double variance = 9;
      for (int i = 0; i < TITRATIONS; i++) {
        double low = Math.ceil(d + scatter * random.nextGaussian()) - 1;
        Drops drops = Drops.seen(mean, variance, low, scatter);
        mean = drops.mean();
        variance = drops.variance();
      }
      squares += (mean - d) * (mean - d) / RUNS;
    }
    return squares;
  }

  @Test
  void wholeDropsAreUsedAsWellAsTheyCanBe() {
    for (double scatter : new double[] {0.35, 0.6}) {
      for (double d : new double[] {20.0, 20.25, 20.5}) {
        double bound = 1 / (TITRATIONS * information(d, scatter));
        double ratio = meanSquare(d, scatter, new Random(5)) / bound;
        String story = "scatter " + scatter + ", need " + d + ": " + ratio + " of the bound";
        // The mean of 1500 squares scatters by sqrt(2/1500) = 3.7 %.
        assertTrue(ratio > 0.89, story);
        assertTrue(ratio < 1.35, story);
      }
    }
  }

  @Test
  void aConstantUnderGaussianNoiseReachesTheBoundExactly() {
    // N readings of variance r and a prior of variance q: 1/(1/q + N/r), the Bayesian bound.
    Gaussian state = new Gaussian(1);
    state.set(0, 0, 4);
    for (int i = 0; i < 25; i++) {
      state.update(new double[] {1}, 0, 0.5);
    }
    assertEquals(1 / (1 / 4.0 + 25 / 0.5), state.variance(0), 1e-12);
  }
}
