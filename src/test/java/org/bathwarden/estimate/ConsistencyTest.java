package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.tank.Entry;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.SemiDefinitePositiveCholeskyDecomposition;
import org.junit.jupiter.api.Test;

/**
 * The filter against data drawn from its own model: errors must be as large as it says, no larger
 * and no smaller. Bounds are chi-square quantiles (chi-square-quantiles.csv).
 */
class ConsistencyTest {

  private static final int RUNS = 50;
  private static final int MINUTES = 1200;
  private static final int N = Belief.STATES;

  /** What one run came to. */
  private record Outcome(
      double nees, boolean covered, double widthPct, double driftedWidthPct, double error) {}

  static double[] draw(double[] mean, double[] covariance, Random random) {
    RealMatrix p = MatrixUtils.createRealMatrix(N, N);
    for (int i = 0; i < N; i++) {
      for (int j = 0; j < N; j++) {
        p.setEntry(i, j, covariance[i * N + j]);
      }
    }
    // Pivoting keeps the order of states in the root's rows; zero variances are left out.
    RealMatrix root = new SemiDefinitePositiveCholeskyDecomposition(p, 1e-18).getL();
    double[] x = mean.clone();
    for (int j = 0; j < root.getColumnDimension(); j++) {
      double z = random.nextGaussian();
      for (int i = 0; i < N; i++) {
        x[i] += root.getEntry(i, j) * z;
      }
    }
    return x;
  }

  private static Outcome run(int seed) {
    EstimatorSheet sheet = Tanks.sheet();
    Random random = new Random(seed);
    Filter filter = new Filter(sheet);
    Balance balance = new Balance(sheet);
    Probes probes = new Probes(sheet);
    Belief belief = filter.first(0);
    // The model is nonlinear in volume × concentration: start from a volume known as a level tells.
    Bookings.fill(belief, 5, 0.2, 1000);
    belief.state.set(Belief.VOLUME, 1000, 0);
    belief.state.set(Belief.ALKALI, 5000, 200 * 200);
    belief.state.widen(Belief.ALKALI, 5, Belief.VOLUME, 1, 8 * 8);
    double[] truth = draw(belief.state.x, belief.state.p, random);
    double driftedWidth = 0;
    for (int minute = 1; minute <= MINUTES; minute++) {
      Step step =
          new Step(
              (minute - 1) * 60_000L,
              minute * 60_000L,
              Double.NaN,
              60,
              Double.NaN,
              minute % 400 == 0 ? 1.5 : 0,
              minute % 120 == 0 ? 10 : 0,
              minute % 10 == 0 ? 1 : 0,
              true,
              true);
      Belief world = belief.copy();
      java.util.Arrays.fill(world.state.p, 0);
      System.arraycopy(truth, 0, world.state.x, 0, N);
      balance.carry(world, step);
      truth = draw(world.state.x, world.state.p, random);
      System.arraycopy(truth, 0, world.state.x, 0, N);
      double level = probes.levelOf(world) + 15 * random.nextGaussian();
      double kappa = Math.exp(probes.lnConductivityOf(world) + 0.015 * random.nextGaussian());
      Step seen =
          new Step(
              step.startMillis(),
              step.endMillis(),
              level,
              60,
              kappa,
              step.concentrateL(),
              step.waterL(),
              step.loads(),
              true,
              true);
      if (minute == 600) {
        driftedWidth = 2 * 1.96 * Math.sqrt(belief.concentrationVariance());
      }
      List<Entry> entries = List.of();
      if (minute == 601) {
        double reads =
            truth[Belief.ALKALI] / truth[Belief.VOLUME] * Math.exp(truth[Belief.TITRATION])
                + 0.1 * random.nextGaussian();
        entries = List.of(Tanks.result("t", minute, reads, 0.1));
      }
      filter.run(belief, seen, entries, List.of());
    }
    double c = truth[Belief.ALKALI] / truth[Belief.VOLUME];
    double u = Math.sqrt(belief.concentrationVariance());
    double error = belief.concentrationPct() - c;
    return new Outcome(
        nees(belief, truth), Math.abs(error) <= 1.96 * u, 2 * 1.96 * u, driftedWidth, error);
  }

  /**
   * Squared error of alkalinity and volume in units of their covariance: two degrees of freedom.
   */
  private static double nees(Belief belief, double[] truth) {
    double[] p = belief.state.p;
    double a = belief.state.x[Belief.ALKALI] - truth[Belief.ALKALI];
    double v = belief.state.x[Belief.VOLUME] - truth[Belief.VOLUME];
    double aa = p[Belief.ALKALI * N + Belief.ALKALI];
    double av = p[Belief.ALKALI * N + Belief.VOLUME];
    double vv = p[Belief.VOLUME * N + Belief.VOLUME];
    return (vv * a * a - 2 * av * a * v + aa * v * v) / (aa * vv - av * av);
  }

  @Test
  void errorsAreAsLargeAsItSays() {
    // 50 runs of 2 degrees of freedom: the sum of NEES is chi-square with 100.
    ReferenceTable.Row hundred =
        ReferenceTable.load("chi-square-quantiles.csv").where("dof", "100").get(0);
    double sum = 0;
    int covered = 0;
    double width = 0;
    double drifted = 0;
    double squares = 0;
    for (int seed = 1; seed <= RUNS; seed++) {
      Outcome outcome = run(seed);
      sum += outcome.nees();
      covered += outcome.covered() ? 1 : 0;
      width += outcome.widthPct() / RUNS;
      drifted += outcome.driftedWidthPct() / RUNS;
      squares += outcome.error() * outcome.error() / RUNS;
    }
    String story =
        "NEES " + sum + ", covered " + covered + ", width " + width + ", rms " + Math.sqrt(squares);
    assertTrue(sum >= hundred.number("p0.005") && sum <= hundred.number("p0.995"), story);
    // 95 % of 50 runs: 43 to 50 with 99.7 % probability (binomial).
    assertTrue(covered >= 43, story);
    // A width that covers because it is wide is worth nothing: it must match the errors made.
    assertEquals(1, width / (2 * 1.96 * Math.sqrt(squares)), 0.3, story);
    assertTrue(width < 0.7, story);
    assertTrue(width < drifted, "a titration narrows: " + drifted + " before; " + story);
  }

  @Test
  void innovationsAreAsLargeAsItSays() {
    // A linear part of the model, alone: level innovations over 100 steps, chi-square with 100.
    ReferenceTable.Row hundred =
        ReferenceTable.load("chi-square-quantiles.csv").where("dof", "100").get(0);
    int inside = 0;
    for (int seed = 0; seed < 40; seed++) {
      Random random = new Random(seed);
      Gaussian state = new Gaussian(2);
      state.set(0, 0, 4);
      state.set(1, 0, 1);
      double x0 = 2 * random.nextGaussian();
      double x1 = random.nextGaussian();
      double sum = 0;
      double[] h = {1, 1};
      for (int k = 0; k < 100; k++) {
        x0 += 0.3 * random.nextGaussian();
        x1 = 0.9 * x1 + Math.sqrt(0.19) * random.nextGaussian();
        state.widen(0, 0.09);
        state.x[1] *= 0.9;
        state.scale(1, 0.9);
        state.widen(1, 0.19);
        double innovation = x0 + x1 + 0.5 * random.nextGaussian() - state.x[0] - state.x[1];
        sum += innovation * innovation / (state.variance(h) + 0.25);
        state.update(h, innovation, 0.25);
      }
      inside += sum >= hundred.number("p0.025") && sum <= hundred.number("p0.975") ? 1 : 0;
    }
    // 95 % of 40: 33 or more with 99.7 % probability.
    assertTrue(inside >= 33, inside + " of 40 inside");
  }
}
