package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import java.util.stream.IntStream;
import org.bathwarden.reference.ReferenceTable;
import org.hipparchus.filtering.kalman.Measurement;
import org.hipparchus.filtering.kalman.ProcessEstimate;
import org.hipparchus.filtering.kalman.extended.ExtendedKalmanFilter;
import org.hipparchus.filtering.kalman.extended.NonLinearEvolution;
import org.hipparchus.filtering.kalman.extended.NonLinearProcess;
import org.hipparchus.filtering.kalman.linear.LinearEvolution;
import org.hipparchus.filtering.kalman.linear.LinearKalmanFilter;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.CholeskyDecomposer;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;
import org.junit.jupiter.api.Test;

/** The arithmetic of the filter against published examples and the Hipparchus filters. */
class GaussianTest {

  private static final CholeskyDecomposer CHOLESKY = new CholeskyDecomposer(1e-15, 1e-15);

  private record Seen(double getTime, RealVector getValue, RealMatrix getCovariance)
      implements Measurement {
    @Override
    public double getTime() {
      return getTime;
    }

    @Override
    public RealVector getValue() {
      return getValue;
    }

    @Override
    public RealMatrix getCovariance() {
      return getCovariance;
    }

    static Seen of(double time, double value, double variance) {
      return new Seen(
          time,
          new ArrayRealVector(new double[] {value}),
          MatrixUtils.createRealDiagonalMatrix(new double[] {variance}));
    }
  }

  @Test
  void weighsAStaticHeightLikeThePublishedExample() {
    // kalman-static-height.csv, 1e-6; also worked-examples.md 23 (a).
    Gaussian state = new Gaussian(1);
    state.set(0, 60, 225);
    for (ReferenceTable.Row row : ReferenceTable.load("kalman-static-height.csv").rows()) {
      double innovation = row.number("measurement") - state.x[0];
      double nis = innovation * innovation / (state.variance(0) + 25);
      state.update(new double[] {1}, innovation, 25);
      assertEquals(row.number("nis"), nis, 1e-6);
      assertEquals(row.number("estimate"), state.x[0], 1e-6);
      assertEquals(row.number("variance"), state.variance(0), 1e-6);
    }
  }

  @Test
  void followsTheVarianceOfARandomConstant() {
    // kalman-random-constant.csv (Welch and Bishop, UNC TR 95-041), 1e-9.
    Gaussian state = new Gaussian(1);
    state.set(0, 0, 1);
    int k = 0;
    for (ReferenceTable.Row row : ReferenceTable.load("kalman-random-constant.csv").rows()) {
      int until = row.text("k").equals("steady") ? 2000 : Integer.parseInt(row.text("k"));
      double prior = 0;
      while (k < until) {
        state.widen(0, 1e-5);
        prior = state.variance(0);
        state.update(new double[] {1}, 0, 0.01);
        k++;
      }
      assertEquals(row.number("P_prior"), prior, 1e-9);
      assertEquals(row.number("gain"), prior / (prior + 0.01), 1e-9);
      assertEquals(row.number("P_post"), state.variance(0), 1e-9);
    }
  }

  @Test
  void equalsTheLinearFilterOfHipparchus() {
    RealMatrix f =
        MatrixUtils.createRealMatrix(new double[][] {{1, 0.1, 0}, {0, 1, 0}, {0, 0, 0.9}});
    RealMatrix q = MatrixUtils.createRealDiagonalMatrix(new double[] {0.01, 0.02, 0.03});
    RealMatrix h = MatrixUtils.createRealMatrix(new double[][] {{1, 0, 1}});
    RealMatrix p0 = MatrixUtils.createRealDiagonalMatrix(new double[] {4, 1, 2});
    LinearKalmanFilter<Seen> theirs =
        new LinearKalmanFilter<>(
            CHOLESKY,
            seen ->
                new LinearEvolution(
                    f, MatrixUtils.createRealMatrix(3, 1), new ArrayRealVector(1), q, h),
            new ProcessEstimate(0, new ArrayRealVector(new double[] {1, 0, 0}), p0));
    Gaussian ours = new Gaussian(3);
    ours.set(0, 1, 4);
    ours.set(1, 0, 1);
    ours.set(2, 0, 2);
    Random random = new Random(5);
    for (int k = 1; k <= 200; k++) {
      double value = 3 * random.nextGaussian();
      ProcessEstimate estimate = theirs.estimationStep(Seen.of(k, value, 0.5));
      ours.mapRow(0, new double[] {1, 0.1, 0});
      ours.x[0] += 0.1 * ours.x[1];
      ours.scale(2, 0.9);
      ours.x[2] *= 0.9;
      IntStream.range(0, 3).forEach(i -> ours.widen(i, q.getEntry(i, i)));
      ours.update(new double[] {1, 0, 1}, value - ours.x[0] - ours.x[2], 0.5);
      compare(estimate, ours, 1e-9);
    }
  }

  private static void compare(ProcessEstimate theirs, Gaussian ours, double tolerance) {
    for (int i = 0; i < ours.n; i++) {
      double mean = theirs.getState().getEntry(i);
      assertEquals(mean, ours.x[i], tolerance * Math.max(1, Math.abs(mean)), "state " + i);
      for (int j = 0; j < ours.n; j++) {
        double scale = Math.sqrt(ours.variance(i) * ours.variance(j));
        assertEquals(
            theirs.getCovariance().getEntry(i, j),
            ours.p[i * ours.n + j],
            tolerance * Math.max(1e-12, scale),
            "covariance " + i + ", " + j);
      }
    }
  }

  /**
   * Our balance as a black box for Hipparchus: its Jacobian by differences, its noise from P = 0.
   */
  private static final class BlackBox implements NonLinearProcess<Seen> {

    private final Balance balance = new Balance(Tanks.sheet());
    private final Belief before;
    private final Step step;

    BlackBox(Belief before, Step step) {
      this.before = before;
      this.step = step;
    }

    private Belief carried(double[] x) {
      Belief belief = before.copy();
      System.arraycopy(x, 0, belief.state.x, 0, x.length);
      java.util.Arrays.fill(belief.state.p, 0);
      balance.carry(belief, step);
      return belief;
    }

    @Override
    public NonLinearEvolution getEvolution(double time, RealVector state, Seen seen) {
      int n = Belief.STATES;
      Belief carried = carried(state.toArray());
      RealMatrix f = MatrixUtils.createRealMatrix(n, n);
      for (int j = 0; j < n; j++) {
        double d = 1e-6 * Math.max(1, Math.abs(state.getEntry(j)));
        double[] up = state.toArray();
        double[] down = state.toArray();
        up[j] += d;
        down[j] -= d;
        double[] high = carried(up).state.x;
        double[] low = carried(down).state.x;
        for (int i = 0; i < n; i++) {
          f.setEntry(i, j, (high[i] - low[i]) / (2 * d));
        }
      }
      RealMatrix q = MatrixUtils.createRealMatrix(n, n);
      for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
          q.setEntry(i, j, carried.state.p[i * n + j]);
        }
      }
      RealMatrix h = MatrixUtils.createRealMatrix(1, n);
      double[] x = carried.state.x;
      h.setEntry(0, Belief.ALKALI, 1 / x[Belief.VOLUME]);
      h.setEntry(0, Belief.VOLUME, -x[Belief.ALKALI] / (x[Belief.VOLUME] * x[Belief.VOLUME]));
      return new NonLinearEvolution(seen.getTime(), new ArrayRealVector(x), f, q, h);
    }

    @Override
    public RealVector getInnovation(
        Seen seen, NonLinearEvolution evolution, RealMatrix covariance) {
      RealVector x = evolution.getCurrentState();
      double c = x.getEntry(Belief.ALKALI) / x.getEntry(Belief.VOLUME);
      return seen.getValue().mapSubtract(c);
    }
  }

  @Test
  void balanceEqualsTheExtendedFilterOfHipparchus() {
    // Drag-out, dose, water, evaporation and carbonation in every step, a titration after each. The
    // Jacobian is found by differences, so our written-out derivatives are checked as well.
    EstimatorSheet sheet = Tanks.sheet();
    Belief ours = new Filter(sheet).first(0);
    Balance balance = new Balance(sheet);
    int n = Belief.STATES;
    RealMatrix p0 = MatrixUtils.createRealMatrix(n, n);
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        p0.setEntry(i, j, ours.state.p[i * n + j]);
      }
    }
    ProcessEstimate theirs = new ProcessEstimate(0, new ArrayRealVector(ours.state.x), p0);
    for (int k = 1; k <= 20; k++) {
      Step step = new Step((k - 1) * 3_600_000L, k * 3_600_000L, 0, 60, 0, 0.7, 12, 6, true, true);
      ExtendedKalmanFilter<Seen> filter =
          new ExtendedKalmanFilter<>(CHOLESKY, new BlackBox(ours.copy(), step), theirs);
      double value = 5 + 0.2 * Math.sin(k);
      theirs = filter.estimationStep(Seen.of(k, value, 0.04));
      balance.carry(ours, step);
      ours.state.update(ours.concentrationGradient(), value - ours.concentrationPct(), 0.04);
      compare(theirs, ours.state, 2e-6);
    }
  }

  @Test
  void staysNonNegativeThroughAMillionUpdates() {
    Gaussian state = new Gaussian(3);
    for (int i = 0; i < 3; i++) {
      state.set(i, 0, 1e6);
    }
    Random random = new Random(7);
    double[] h = new double[3];
    for (int k = 0; k < 1_000_000; k++) {
      for (int i = 0; i < 3; i++) {
        h[i] = random.nextGaussian();
      }
      state.update(h, 1e-3 * random.nextGaussian(), 1e-8);
      state.widen(k % 3, 1e-12);
    }
    for (int k = 0; k < 1000; k++) {
      for (int i = 0; i < 3; i++) {
        h[i] = random.nextGaussian();
      }
      assertTrue(state.variance(h) >= 0);
    }
  }
}
