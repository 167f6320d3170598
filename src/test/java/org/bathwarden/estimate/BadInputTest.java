package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/** Bad input is left out, and shows. */
class BadInputTest {

  private static final double[] GARBAGE = {
    Double.NaN, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY, -1, 0, 1e-300, 1e300, -1e300, 42
  };

  private final EstimatorSheet sheet = Tanks.sheet();

  private static double any(Random random) {
    return GARBAGE[random.nextInt(GARBAGE.length)];
  }

  private static Entry entry(Random random, String id, double minute) {
    return switch (random.nextInt(5)) {
      case 0 ->
          new Entry.Titration(
              Tanks.stamp(id, minute, minute - random.nextInt(100)),
              any(random),
              random.nextBoolean() ? Entry.Titration.Unit.DROPS : Entry.Titration.Unit.PCT,
              EndPoint.FREE,
              any(random),
              "");
      case 1 ->
          new Entry.Addition(
              Tanks.stamp(id, minute, minute),
              Product.CONCENTRATE,
              any(random),
              false,
              Optional.empty());
      case 2 -> new Entry.Removal(Tanks.stamp(id, minute, minute), any(random), "");
      case 3 -> new Entry.Charge(Tanks.stamp(id, minute, minute), any(random), any(random));
      default -> new Entry.ProbeCare(Tanks.stamp(id, minute, minute), "conductivity", true);
    };
  }

  @Test
  void nothingThatComesInMakesAnythingElseThanNumbersComeOut() {
    for (int seed = 0; seed < 40; seed++) {
      Random random = new Random(seed);
      EstimateState state = Estimator.start(sheet, Tanks.START);
      double minute = 0;
      for (int i = 0; i < 400; i++) {
        minute += random.nextInt(20) == 0 ? 600 * random.nextDouble() : random.nextDouble();
        double stamped = random.nextInt(30) == 0 ? minute - 50 : minute;
        boolean bad = random.nextInt(3) == 0;
        Sample quiet = Tanks.quiet(stamped);
        Sample sample =
            !bad
                ? quiet
                : new Sample(
                    quiet.at(),
                    any(random),
                    any(random),
                    any(random),
                    any(random),
                    any(random),
                    any(random),
                    any(random),
                    random.nextBoolean(),
                    random.nextBoolean());
        List<Entry> entries = new ArrayList<>();
        if (random.nextInt(10) == 0) {
          entries.add(entry(random, "e" + i, minute));
        }
        state = Estimator.run(sheet, state, sample, entries);
        assertSound(Estimator.estimate(sheet, state), "seed " + seed + ", sample " + i);
      }
    }
  }

  private static void assertSound(Estimate e, String where) {
    double[] numbers = {
      e.concentrationPct(),
      e.low95Pct(),
      e.high95Pct(),
      e.concentrationUPct(),
      e.volumeL(),
      e.volumeUL(),
      e.covarianceCV(),
      e.lossPerLoadL(),
      e.lossPerLoadUL(),
      e.evaporationLPerH(),
      e.evaporationULPerH(),
      e.deliveredScale(),
      e.probeGain(),
      e.foreignMsCm(),
      e.certainty().titration(),
      e.certainty().probe(),
      e.certainty().balance()
    };
    for (int i = 0; i < numbers.length; i++) {
      assertTrue(Double.isFinite(numbers[i]), where + ", number " + i + " is " + numbers[i]);
    }
    assertTrue(
        e.low95Pct() <= e.concentrationPct() && e.concentrationPct() <= e.high95Pct(), where);
    assertTrue(e.concentrationUPct() > 0 && e.volumeL() > 0, where);
    double sum = e.certainty().titration() + e.certainty().probe() + e.certainty().balance();
    assertEquals(1, sum, 1e-9, where);
  }

  @Test
  void aMissingProbeNeverNarrowsTheInterval() {
    EstimateState both = Tanks.quietly(sheet, Estimator.start(sheet, Tanks.START), 0, 240);
    EstimateState blind = both;
    double last = Estimator.estimate(sheet, blind).concentrationUPct();
    for (int i = 241; i < 1200; i++) {
      Sample q = Tanks.quiet(i);
      double loads = i % 12 == 0 ? 1 : 0;
      Sample seen = new Sample(q.at(), 1000, 60, 51, 12, 0, 0, loads, true, true);
      Sample unseen = new Sample(q.at(), 1000, 60, Double.NaN, 12, 0, 0, loads, true, true);
      both = Estimator.run(sheet, both, seen, List.of());
      blind = Estimator.run(sheet, blind, unseen, List.of());
      double u = Estimator.estimate(sheet, blind).concentrationUPct();
      assertTrue(u >= Estimator.estimate(sheet, both).concentrationUPct() - 1e-12, "minute " + i);
    }
    assertTrue(Estimator.estimate(sheet, blind).concentrationUPct() > last);
    assertTrue(Estimator.estimate(sheet, blind).flags().contains(Flag.CONDUCTIVITY_MISSING));
    assertFalse(Estimator.estimate(sheet, both).flags().contains(Flag.CONDUCTIVITY_MISSING));
  }

  @Test
  void aStuckProbeIsLeftOut() {
    EstimateState state = Estimator.start(sheet, Tanks.START);
    Random random = new Random(3);
    for (int i = 0; i < 300; i++) {
      double kappa = i < 200 ? 51 + 0.3 * random.nextGaussian() : 51.3;
      Sample q = Tanks.quiet(i);
      Sample sample = new Sample(q.at(), 1000, 60, kappa, 12, 0, 0, 0, true, true);
      state = Estimator.run(sheet, state, sample, List.of());
    }
    assertTrue(Estimator.estimate(sheet, state).flags().contains(Flag.CONDUCTIVITY_SUSPECT));
  }

  @Test
  void aSpikeIsLeftOut() {
    EstimateState state = Tanks.quietly(sheet, Estimator.start(sheet, Tanks.START), 0, 20);
    double before = Estimator.estimate(sheet, state).concentrationPct();
    Sample q = Tanks.quiet(21);
    Sample spike = new Sample(q.at(), 1400, 60, 90, 12, 0, 0, 0, true, true);
    state = Estimator.run(sheet, state, spike, List.of());
    assertEquals(before, Estimator.estimate(sheet, state).concentrationPct(), 0.01);
  }

  @Test
  void outsideTheSheetTheProbeOnlyWidens() {
    EstimatorSheet strong = new EstimatorSheet(sheet.tank(), 9, 0.2, sheet.priors());
    EstimateState state = Estimator.start(strong, Tanks.START);
    for (int i = 0; i < 60; i++) {
      Sample q = Tanks.quiet(i);
      Sample sample = new Sample(q.at(), 1000, 60, 91 + i % 3, 12, 0, 0, 0, true, true);
      state = Estimator.run(strong, state, sample, List.of());
    }
    Estimate estimate = Estimator.estimate(strong, state);
    assertTrue(estimate.flags().contains(Flag.CONDUCTIVITY_OUTSIDE));
    assertTrue(estimate.concentrationUPct() >= 0.199, "u " + estimate.concentrationUPct());
  }

  @Test
  void aBeliefAstrayIsBroughtBackByAReadingWithinTheSheet() {
    EstimatorSheet weak = new EstimatorSheet(sheet.tank(), 1.2, 1.5, sheet.priors());
    EstimateState state = Estimator.start(weak, Tanks.START);
    for (int i = 0; i < 120; i++) {
      Sample q = Tanks.quiet(i);
      Sample sample = new Sample(q.at(), 1000, 60, 51 + 0.1 * (i % 3), 12, 0, 0, 0, true, true);
      state = Estimator.run(weak, state, sample, List.of());
    }
    Estimate back = Estimator.estimate(weak, state);
    assertEquals(5, back.concentrationPct(), 2 * back.concentrationUPct());
  }
}
