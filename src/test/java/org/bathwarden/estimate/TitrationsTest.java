package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.TitrationKit;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.junit.jupiter.api.Test;

/** Titrations against worked examples, tables and a likelihood summed by brute force. */
class TitrationsTest {

  /** Standard uncertainty of a count with 0.35 % per drop, printed there as 0.101036 %. */
  private static final double U = 0.35 / Math.sqrt(12);

  /** The invented tank without blunders and without a bias of the kit. */
  private static EstimatorSheet plain() {
    ChemistrySheet c = Tanks.sheet().tank().chemistry();
    TitrationKit kit = new TitrationKit(0.25, TitrationKit.FactorFrom.NORMALITY, 0.35, 0);
    return Tanks.with(Tanks.chemistry(c.product(), c.grid(), kit, List.of()));
  }

  private static Belief believing(EstimatorSheet sheet) {
    Belief belief = new Filter(sheet).first(Tanks.START.toEpochMilli());
    belief.state.set(Belief.TITRATION, 0, 0);
    belief.state.set(Belief.VOLUME, 1000, 0);
    belief.state.set(Belief.ALKALI, 5000, 0.04 * 1000 * 1000);
    return belief;
  }

  @Test
  void worksTheKalmanExample() {
    // worked-examples.md 23 (b): prior 5.00 % with variance 0.0400, titration 4.55 % with
    // u = 0.101036: 4.641494 % with variance 0.008133; innovation² over variance 4.033195.
    Belief belief = believing(plain());
    assertEquals(0.04, belief.concentrationVariance(), 1e-9);
    new Titrations(plain()).take(belief, Tanks.result("a", 1, 4.55, U));
    assertEquals(4.641494, belief.concentrationPct(), 5e-7);
    assertEquals(0.008133, belief.concentrationVariance(), 5e-7);
    TitrationVerdict verdict = belief.verdicts.get(0);
    double normalised = (verdict.resultPct() - verdict.predictedPct()) / verdict.predictiveUPct();
    assertEquals(4.033195, normalised * normalised, 5e-6);
    assertEquals(Verdict.ACCEPTED, verdict.verdict());
  }

  @Test
  void asksForARepeatLikeTheKalmanExample() {
    // The same example: 4.10 % gives 16.132780, above the 99 % gate.
    Belief belief = believing(Tanks.sheet());
    new Titrations(Tanks.sheet()).take(belief, Tanks.result("a", 1, 4.10, U));
    TitrationVerdict verdict = belief.verdicts.get(0);
    double normalised = (verdict.resultPct() - verdict.predictedPct()) / verdict.predictiveUPct();
    assertEquals(16.132780, normalised * normalised, 5e-6);
    assertEquals(Verdict.DOUBTFUL_LOW, verdict.verdict());
  }

  @Test
  void gatesAreQuantilesOfTheTable() {
    // chi-square-quantiles.csv, 0.0005.
    ReferenceTable.Row one =
        ReferenceTable.load("chi-square-quantiles.csv").where("dof", "1").get(0);
    assertEquals(one.number("p0.99"), Titrations.GATE_99, 0.0005);
    assertEquals(one.number("p0.999"), Probes.GATE, 0.0005);
  }

  @Test
  void dropsEqualASumOverAFineGrid() {
    // Bayes by brute force: prior density × P(end point in the last drop), the normal distribution
    // from Hipparchus.
    double[][] cases = {{19.2, 0.8, 19}, {19.2, 9, 23}, {16, 0.04, 16}, {20, 4, 12}, {5, 100, 3}};
    for (double[] c : cases) {
      double scatter = 0.35;
      NormalDistribution prior = new NormalDistribution(c[0], Math.sqrt(c[1]));
      NormalDistribution error = new NormalDistribution(0, scatter);
      double step = 0.0005;
      double m0 = 0;
      double m1 = 0;
      double m2 = 0;
      for (double d = c[0] - 60; d < c[0] + 60; d += step) {
        double last = error.probability(c[2] - d - 1, c[2] - d);
        double w = prior.density(d) * last * step;
        m0 += w;
        m1 += w * d;
        m2 += w * d * d;
      }
      Drops found = Drops.seen(c[0], c[1], c[2] - 1, scatter);
      assertEquals(m0, found.evidence(), 1e-6 * m0);
      assertEquals(m1 / m0, found.mean(), 1e-6);
      assertEquals(m2 / m0 - m1 / m0 * (m1 / m0), found.variance(), 1e-6);
    }
  }

  @Test
  void aCountFromNormalityReadsHalfADropHigh() {
    // trace-format.md: drops × pct_per_drop reads half a drop high on average.
    Belief belief = believing(Tanks.sheet());
    new Titrations(Tanks.sheet()).take(belief, Tanks.drops("a", 1, 20));
    TitrationVerdict verdict = belief.verdicts.get(0);
    assertEquals(5.0, verdict.resultAsCountedPct(), 1e-12);
    assertEquals(5.0 - 0.125, verdict.resultPct(), 1e-12);
  }

  @Test
  void aBlunderHardlyMovesTheEstimate() {
    Belief belief = believing(Tanks.sheet());
    new Titrations(Tanks.sheet()).take(belief, Tanks.drops("misread", 1, 55));
    assertEquals(5, belief.concentrationPct(), 0.01);
    assertEquals(Verdict.DOUBTFUL_HIGH, belief.verdicts.get(0).verdict());
  }

  @Test
  void twiceTheSampleStillTellsTheConcentration() {
    // 43 drops end between 42 and 43: of a sample twice as large (42.5 / 2) · 0.25 % = 5.31 %.
    Belief belief = believing(Tanks.sheet());
    double u = Math.sqrt(belief.concentrationVariance());
    new Titrations(Tanks.sheet()).take(belief, Tanks.drops("double", 1, 43));
    assertTrue(belief.concentrationPct() > 5.01 && belief.concentrationPct() < 5.31);
    assertTrue(Math.sqrt(belief.concentrationVariance()) < u);
    assertEquals(Verdict.DOUBTFUL_HIGH, belief.verdicts.get(0).verdict());
    assertTrue(belief.counter[Belief.BLUNDER] > 0.99);
  }

  @Test
  void aSecondSampleThatAgreesIsBelieved() {
    EstimatorSheet sheet = Tanks.sheet();
    Belief belief = believing(sheet);
    Titrations titrations = new Titrations(sheet);
    titrations.take(belief, Tanks.drops("first", 10, 28));
    double afterFirst = belief.concentrationPct();
    titrations.take(belief, Tanks.drops("second", 40, 28));
    // Alone it is a blunder or a change that nobody told: less than a quarter of the way is gone.
    assertEquals(5, afterFirst, (6.875 - 5) / 4);
    assertEquals(6.875, belief.concentrationPct(), 0.1);
    assertEquals(
        List.of(Verdict.DOUBTFUL_HIGH, Verdict.CONFIRMS_DOUBTFUL),
        belief.verdicts.stream().map(TitrationVerdict::verdict).toList());
  }

  @Test
  void aSampleBeforeMixingIsNotRepresentative() {
    EstimatorSheet sheet = Tanks.sheet();
    EstimateState state = Tanks.quietly(sheet, Estimator.start(sheet, Tanks.START), 0, 60);
    Sample dose = new Sample(Tanks.minute(61), 1000, 60, 51, 12, 5000, 0, 0, true, true);
    state = Estimator.run(sheet, state, dose, List.of());
    state = Estimator.run(sheet, state, Tanks.quiet(62), List.of(Tanks.drops("early", 62, 20)));
    state = Tanks.quietly(sheet, state, 63, 100);
    state = Estimator.run(sheet, state, Tanks.quiet(101), List.of(Tanks.drops("late", 101, 20)));
    assertEquals(Verdict.NOT_REPRESENTATIVE, state.verdicts().get(0).verdict());
    assertTrue(state.verdicts().get(1).verdict() != Verdict.NOT_REPRESENTATIVE);
  }

  @Test
  void aGoodTitrationNarrowsTheInterval() {
    Belief belief = believing(Tanks.sheet());
    double before = belief.concentrationVariance();
    new Titrations(Tanks.sheet()).take(belief, Tanks.drops("a", 1, 20));
    assertTrue(belief.concentrationVariance() < before);
  }

  /** Two of {@code pct} where 5 % is well known. */
  private static Belief twice(double pct) {
    Belief belief = believing(Tanks.sheet());
    belief.state.set(Belief.ALKALI, 5000, 0.01 * 1000 * 1000);
    Titrations titrations = new Titrations(Tanks.sheet());
    titrations.take(belief, Tanks.result("a", 1, pct, 0.1));
    titrations.take(belief, Tanks.result("b", 61, pct, 0.1));
    assertTrue(belief.verdicts.get(1).verdict().accepted(), "both stand");
    return belief;
  }

  @Test
  void theSameMistakeMadeTwiceDoesNotDoubleAWellKnownBath() {
    Belief doubled = twice(10);
    assertTrue(doubled.counter[Belief.BLUNDER] > 0.5, "half the sample, twice");
    assertTrue(doubled.concentrationPct() < 7.5, "not believed: " + doubled.concentrationPct());
    Belief changed = twice(6.2);
    assertEquals(6.2, changed.concentrationPct(), 0.25, "no mistake that is made often");
  }
}
