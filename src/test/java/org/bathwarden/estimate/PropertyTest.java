package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;
import org.junit.jupiter.api.Test;

/** What must hold for any history, over many drawn at random. */
class PropertyTest {

  private static final int HISTORIES = 60;

  /** A tank of {@code size} × 1000 L whose conductivities read {@code units} × mS/cm. */
  private static EstimatorSheet sheet(double size, double units) {
    EstimatorSheet one = Tanks.sheet();
    TankSheet t = one.tank();
    Geometry g = t.geometry();
    ChemistrySheet c = t.chemistry();
    ConductivityGrid grid =
        new ConductivityGrid(
            c.grid().points().stream()
                .map(
                    p ->
                        new ConductivityGrid.Point(
                            p.concentrationPct(), p.temperatureC(), units * p.conductivityMsCm()))
                .toList());
    Geometry scaled =
        new Geometry(
            g.levelKind(),
            size * g.workingL(),
            size * g.lowLevelL(),
            size * g.minimumL(),
            size * g.heaterGuardL(),
            size * g.maximumL(),
            size * g.loadDisplacementL(),
            size * g.foamAllowanceL(),
            size * g.holdupL(),
            size * g.surfaceM2(),
            size * g.circulationLPerMin());
    return Tanks.with(
        scaled, Tanks.chemistry(c.product(), grid, c.kit(), List.of()), size * t.dragOutLPerLoad());
  }

  private static Sample sample(int minute, Random random, double size, double units) {
    double level = 1000 + 2 * random.nextGaussian();
    double kappa = 51 * (1 + 0.01 * random.nextGaussian());
    return new Sample(
        Tanks.minute(minute),
        size * level,
        60 + 0.2 * random.nextGaussian(),
        units * kappa,
        12,
        random.nextInt(200) == 0 ? size * 800 : 0,
        random.nextInt(60) == 0 ? size * 4000 : 0,
        random.nextInt(10) == 0 ? 1 : 0,
        true,
        true);
  }

  /** Entries of the first {@code minutes}, each told in time, and what they leave. */
  private static EstimateState lived(
      EstimatorSheet sheet, int seed, int minutes, double size, double units) {
    Random random = new Random(seed);
    EstimateState state = Estimator.start(sheet, Tanks.START);
    for (int i = 1; i <= minutes; i++) {
      Sample sample = sample(i, random, size, units);
      List<Entry> entries = new ArrayList<>();
      if (random.nextInt(150) == 0) {
        entries.add(Tanks.drops("t" + i, i, 18 + random.nextInt(5)));
      }
      if (random.nextInt(300) == 0) {
        entries.add(
            new Entry.Addition(
                Tanks.stamp("a" + i, i, i),
                Product.CONCENTRATE,
                size * 2,
                false,
                java.util.Optional.empty()));
      }
      state = Estimator.run(sheet, state, sample, entries);
    }
    return state;
  }

  @Test
  void aGoodTitrationNeverWidensTheIntervalAtItsTime() {
    EstimatorSheet sheet = Tanks.sheet();
    for (int seed = 1; seed <= HISTORIES; seed++) {
      Belief before = lived(sheet, seed, 20 + 7 * seed, 1, 1).now();
      before.counter[Belief.UNMIXED] = 0;
      double expected = before.concentrationPct() * Math.exp(before.state.x[Belief.TITRATION]);
      int good = (int) Math.ceil(expected / 0.25);
      Belief counted = before.copy();
      new Titrations(sheet).take(counted, Tanks.drops("good", 20 + 7 * seed, good));
      Belief weighed = before.copy();
      new Titrations(sheet).take(weighed, Tanks.result("good", 20 + 7 * seed, expected, 0.1));
      double u = Math.sqrt(before.concentrationVariance());
      for (Belief after : List.of(counted, weighed)) {
        double narrowed = Math.sqrt(after.concentrationVariance());
        assertTrue(narrowed <= u, "seed " + seed + ": " + u + " to " + narrowed);
        assertTrue(after.verdicts.get(after.verdicts.size() - 1).verdict().accepted());
      }
    }
  }

  @Test
  void aMissingProbeNeverNarrowsTheIntervalOfAnyHistory() {
    EstimatorSheet sheet = Tanks.sheet();
    Filter filter = new Filter(sheet);
    Probes probes = new Probes(sheet);
    for (int seed = 1; seed <= HISTORIES; seed++) {
      Belief before = lived(sheet, seed, 100 + seed, 1, 1).now();
      Random random = new Random(1000 + seed);
      long at = before.atMillis();
      // A reading moves the mean, and with it how the volume's doubt weighs: a matter of 0.01 %.
      for (double off : new double[] {0, 0.03 * (random.nextDouble() - 0.5)}) {
        double level = probes.levelOf(before) + 100 * off;
        double kappa = Math.exp(probes.lnConductivityOf(before) + off);
        double slack = 1e-4;
        double u = after(filter, before, at, level, kappa);
        double noKappa = after(filter, before, at, level, Double.NaN);
        double noLevel = after(filter, before, at, Double.NaN, kappa);
        double nothing = after(filter, before, at, Double.NaN, Double.NaN);
        String story = "seed " + seed + ", off " + off + ": " + u;
        assertTrue(u <= noKappa * (1 + slack), story + ", no conductivity " + noKappa);
        assertTrue(u <= noLevel * (1 + slack), story + ", no level " + noLevel);
        assertTrue(Math.max(noKappa, noLevel) <= nothing * (1 + slack), story + ", " + nothing);
      }
    }
  }

  private static double after(Filter filter, Belief before, long at, double level, double kappa) {
    Belief belief = before.copy();
    Step step = new Step(at, at + 60_000, level, 60, kappa, 0, 0, 0, true, true);
    filter.run(belief, step, List.of(), List.of());
    return Math.sqrt(belief.concentrationVariance());
  }

  @Test
  void aTankTwiceAsLargeWithTwiceOfEverythingIsAsStrong() {
    for (int seed = 1; seed <= 12; seed++) {
      Belief one = lived(sheet(1, 1), seed, 400, 1, 1).now();
      // A power of two: the arithmetic is the same to the last bits.
      Belief two = lived(sheet(2, 1), seed, 400, 2, 1).now();
      assertEquals(one.concentrationPct(), two.concentrationPct(), 1e-9, "seed " + seed);
      assertEquals(
          Math.sqrt(one.concentrationVariance()),
          Math.sqrt(two.concentrationVariance()),
          1e-9,
          "seed " + seed);
      assertEquals(2 * one.volumeL(), two.volumeL(), 1e-6, "seed " + seed);
    }
  }

  @Test
  void theUnitOfTheConductivityDoesNotMatter() {
    // Of the fit, only a weak belief in 7 mS/cm for each percent knows the unit.
    for (int seed = 1; seed <= 12; seed++) {
      Belief one = lived(sheet(1, 1), seed, 400, 1, 1).now();
      Belief other = lived(sheet(1, 1.5), seed, 400, 1, 1.5).now();
      assertEquals(one.concentrationPct(), other.concentrationPct(), 5e-3, "seed " + seed);
      assertEquals(
          1,
          Math.sqrt(one.concentrationVariance() / other.concentrationVariance()),
          5e-3,
          "seed " + seed);
    }
  }
}
