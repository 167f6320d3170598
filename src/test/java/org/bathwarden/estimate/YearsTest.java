package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.bathwarden.tank.Entry;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.QRDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.junit.jupiter.api.Test;

/** The covariance over years: symmetric, positive definite, and what a square root of it gives. */
class YearsTest {

  private static final int N = Belief.STATES;

  /** Whether the states that are in doubt have a covariance with a square root, to 1e-10. */
  private static boolean sound(Belief belief) {
    double[] p = belief.state.p;
    int[] doubted = java.util.stream.IntStream.range(0, N).filter(i -> p[i * N + i] > 0).toArray();
    RealMatrix correlation = MatrixUtils.createRealMatrix(doubted.length, doubted.length);
    for (int i = 0; i < doubted.length; i++) {
      for (int j = 0; j < doubted.length; j++) {
        int a = doubted[i];
        int b = doubted[j];
        if (p[a * N + b] != p[b * N + a]) {
          return false;
        }
        correlation.setEntry(i, j, p[a * N + b] / Math.sqrt(p[a * N + a] * p[b * N + b]));
      }
    }
    try {
      new CholeskyDecomposition(correlation, 1e-12, 1e-10);
      return true;
    } catch (org.hipparchus.exception.MathIllegalArgumentException e) {
      return false;
    }
  }

  @Test
  void threeYearsLeaveItSymmetricAndPositiveDefinite() {
    EstimatorSheet sheet = Tanks.sheet();
    Filter filter = new Filter(sheet);
    Belief belief = filter.first(0);
    Random random = new Random(9);
    int day = 48;
    double pct = 4.9;
    for (int i = 1; i <= 3 * 365 * day; i++) {
      boolean working = i % day >= 12 && i % day < 36 && i / day % 7 < 5;
      double out = working ? 1.5 : 0;
      double dose = working ? 1.25 * out * pct / 100 : 0;
      Step step =
          new Step(
              (i - 1) * 1_800_000L,
              i * 1_800_000L,
              1016 + 2 * random.nextGaussian(),
              60 + 0.1 * random.nextGaussian(),
              random.nextInt(50) == 0 ? Double.NaN : 50 * (1 + 0.004 * random.nextGaussian()),
              dose,
              out - dose + 1.4,
              working ? 3 : 0,
              true,
              true);
      List<Entry> entries =
          i % day == 14
              ? List.of(
                  Tanks.drops(
                      "t" + i, 30 * i, (int) Math.ceil(pct / 0.25 + 0.3 * random.nextGaussian())))
              : List.of();
      filter.run(belief, step, entries, List.of());
      if (i % (7 * day) == 0) {
        assertTrue(sound(belief), "day " + i / day);
        assertTrue(Double.isFinite(belief.concentrationPct()), "day " + i / day);
        double u = Math.sqrt(belief.concentrationVariance());
        assertTrue(u > 0.01 && u < 0.5, "day " + i / day + ": u " + u);
      }
    }
  }

  /** A filter that keeps a square root S of the covariance, P = S·Sᵀ, of any shape. */
  private static final class Root {
    private RealMatrix s;

    Root(double[] variances) {
      s = MatrixUtils.createRealMatrix(variances.length, variances.length);
      for (int i = 0; i < variances.length; i++) {
        s.setEntry(i, i, Math.sqrt(variances[i]));
      }
    }

    /** P becomes F·P·Fᵀ + q·qᵀ, by Householder's triangles. */
    void carry(RealMatrix f, double[] q) {
      int n = f.getRowDimension();
      RealMatrix wide = MatrixUtils.createRealMatrix(n + 1, n);
      wide.setSubMatrix(f.multiply(s).transpose().getData(), 0, 0);
      wide.setRow(n, q);
      s = new QRDecomposition(wide).getR().getSubMatrix(0, n - 1, 0, n - 1).transpose();
    }

    /**
     * Potter's update (Bierman, Factorization Methods for Discrete Sequential Estimation, II.4).
     */
    void update(double[] h, double r) {
      double[] v = s.transpose().operate(h);
      double sigma = r;
      for (double each : v) {
        sigma += each * each;
      }
      double gamma = 1 / (sigma + Math.sqrt(r * sigma));
      double[] sv = s.operate(v);
      for (int i = 0; i < sv.length; i++) {
        for (int j = 0; j < v.length; j++) {
          s.addToEntry(i, j, -gamma * sv[i] * v[j]);
        }
      }
    }

    double p(int i, int j) {
      double sum = 0;
      for (int k = 0; k < s.getColumnDimension(); k++) {
        sum += s.getEntry(i, k) * s.getEntry(j, k);
      }
      return sum;
    }
  }

  @Test
  void aLongRunEqualsASquareRootForm() {
    // Scales from an error of a temperature coefficient (1e-3) to salts (1e3), half-hours for two
    // years, readings a thousand times better than what is first believed.
    double[] variances = {1e6, 1e4, 1e6, 0.16, 2.5e-3, 1e-6};
    int n = variances.length;
    Gaussian ours = new Gaussian(n);
    for (int i = 0; i < n; i++) {
      ours.set(i, 0, variances[i]);
    }
    Root root = new Root(variances);
    Random random = new Random(21);
    for (int k = 0; k < 35_000; k++) {
      RealMatrix f = MatrixUtils.createRealIdentityMatrix(n);
      double[] row = new double[n];
      row[0] = 1 - 1e-3 * random.nextDouble();
      row[1] = 5e-3 * random.nextDouble();
      row[3] = -5 * random.nextDouble();
      f.setRow(0, row);
      ours.mapRow(0, row);
      double[] q = new double[n];
      if (k % 2 == 0) {
        q[k / 2 % n] = 1e-3 * Math.sqrt(variances[k / 2 % n]);
        ours.widen(k / 2 % n, q[k / 2 % n] * q[k / 2 % n]);
      } else {
        q[0] = 5 * 0.1;
        q[1] = 0.1;
        ours.widen(0, 5, 1, 1, 0.01);
      }
      root.carry(f, q);
      double[] h = {0, 1, 0, 0, 0, 0};
      double r = 16;
      if (k % 3 != 0) {
        h = new double[] {2e-4, -1e-3, 2e-5 * random.nextDouble(), 0, 1, 30 * random.nextDouble()};
        r = 2e-4;
      }
      ours.update(h, 0, r);
      root.update(h, r);
      if (k % 1000 == 999) {
        for (int i = 0; i < n; i++) {
          for (int j = 0; j < n; j++) {
            double scale = Math.sqrt(root.p(i, i) * root.p(j, j));
            assertEquals(root.p(i, j) / scale, ours.p[i * n + j] / scale, 1e-8, "step " + k);
          }
        }
      }
    }
  }
}
