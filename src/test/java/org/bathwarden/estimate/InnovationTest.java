package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.bathwarden.reference.ReferenceTable;
import org.junit.jupiter.api.Test;

/**
 * Innovations of the conductivity in data drawn from the filter's own model, against chi-square
 * quantiles (chi-square-quantiles.csv). Their variance is found here by differences.
 */
class InnovationTest {

  private static final int N = Belief.STATES;
  private static final int RUNS = 40;
  private static final int LED_IN = 60;
  private static final int COUNTED = 100;

  private final EstimatorSheet sheet = Tanks.sheet();
  private final Balance balance = new Balance(sheet);
  private final Probes probes = new Probes(sheet);

  /** Variance of the predicted ln of the conductivity. */
  private double predictedVariance(Belief belief) {
    double[] h = new double[N];
    Belief moved = belief.copy();
    for (int i = 0; i < N; i++) {
      double x = belief.state.x[i];
      double d = 1e-4 * Math.max(Math.abs(x), Math.sqrt(belief.state.variance(i)));
      if (d > 0) {
        moved.state.x[i] = x + d;
        double up = probes.lnConductivityOf(moved);
        moved.state.x[i] = x - d;
        h[i] = (up - probes.lnConductivityOf(moved)) / (2 * d);
        moved.state.x[i] = x;
      }
    }
    return belief.state.variance(h);
  }

  private static Step step(int minute, double level, double kappa) {
    return new Step(
        (minute - 1) * 60_000L,
        minute * 60_000L,
        level,
        60,
        kappa,
        0,
        minute % 120 == 0 ? 10 : 0,
        minute % 10 == 0 ? 1 : 0,
        true,
        true);
  }

  /** Sum of squared normalised innovations over the minutes counted. */
  private double nis(int seed) {
    Random random = new Random(seed);
    Filter filter = new Filter(sheet);
    Belief belief = filter.first(0);
    Bookings.fill(belief, 5, 0.15, 1000);
    belief.state.set(Belief.VOLUME, 1000, 0);
    belief.state.set(Belief.ALKALI, 5000, 150 * 150);
    belief.state.widen(Belief.ALKALI, 5, Belief.VOLUME, 1, 8 * 8);
    double sd = sheet.priors().conductivityShare();
    double[] truth = ConsistencyTest.draw(belief.state.x, belief.state.p, random);
    double sum = 0;
    for (int minute = 1; minute <= LED_IN + COUNTED; minute++) {
      Belief world = belief.copy();
      Arrays.fill(world.state.p, 0);
      System.arraycopy(truth, 0, world.state.x, 0, N);
      balance.carry(world, step(minute, Double.NaN, Double.NaN));
      truth = ConsistencyTest.draw(world.state.x, world.state.p, random);
      System.arraycopy(truth, 0, world.state.x, 0, N);
      double level = probes.levelOf(world) + 15 * random.nextGaussian();
      double lnKappa = probes.lnConductivityOf(world) + sd * random.nextGaussian();
      if (minute > LED_IN) {
        Belief predicted = belief.copy();
        balance.carry(predicted, step(minute, Double.NaN, Double.NaN));
        double innovation = lnKappa - probes.lnConductivityOf(predicted);
        sum += innovation * innovation / (predictedVariance(predicted) + sd * sd);
      }
      filter.run(belief, step(minute, level, Math.exp(lnKappa)), List.of(), List.of());
    }
    return sum;
  }

  @Test
  void ofTheConductivityAreAsLargeAsTheFilterSays() {
    ReferenceTable.Row hundred =
        ReferenceTable.load("chi-square-quantiles.csv").where("dof", "100").get(0);
    int inside = 0;
    double mean = 0;
    for (int seed = 1; seed <= RUNS; seed++) {
      double sum = nis(seed);
      mean += sum / RUNS / COUNTED;
      inside += sum >= hundred.number("p0.025") && sum <= hundred.number("p0.975") ? 1 : 0;
    }
    String story = inside + " of " + RUNS + " inside, mean " + mean;
    // 95 % of 40: 33 or more with 99.7 % probability (binomial).
    assertTrue(inside >= 33, story);
    // The mean of 4000 has a standard deviation of sqrt(2/4000) = 0.022.
    assertEquals(1, mean, 0.067, story);
  }
}
