package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Method;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import org.junit.jupiter.api.Test;

/** Measurements of the concentration by other methods than the sheet's drops. */
class MethodsTest {

  private static final double BIAS = 0.04;
  private static final double READING_U = 0.05;

  private static Method method(String name, double soilPctPerDay, boolean counts) {
    return new Method(
        name,
        EndPoint.FREE,
        "mL",
        0.5,
        0.2,
        READING_U / 0.5,
        BIAS,
        soilPctPerDay,
        0,
        new Method.Range(1, 9),
        OptionalDouble.of(30),
        counts);
  }

  private static EstimatorSheet sheet(Method... methods) {
    ChemistrySheet c = Tanks.sheet().tank().chemistry();
    return Tanks.with(Tanks.chemistry(c.product(), c.grid(), c.kit(), List.of(methods)));
  }

  /** 5.00 % ± 0.30 % in exactly 1000 L. */
  private static Belief believing(EstimatorSheet sheet) {
    Belief belief = new Filter(sheet).first(Tanks.START.toEpochMilli());
    belief.state.set(Belief.VOLUME, 1000, 0);
    belief.state.set(Belief.ALKALI, 5000, 0.09 * 1000 * 1000);
    return belief;
  }

  /** A reading that gives {@code pct} by either method of these tests. */
  private static Entry.Titration reading(String method, double minute, double pct) {
    return new Entry.Titration(
        Tanks.stamp(method + minute, minute, minute),
        pct / 0.5 + 0.2,
        Entry.Titration.Unit.READING,
        EndPoint.FREE,
        0,
        Optional.of(method),
        "");
  }

  @Test
  void theBlankIsTakenOffAndTheFactorApplied() {
    EstimatorSheet sheet = sheet(method("burette", 0, true));
    Belief belief = believing(sheet);
    new Titrations(sheet).take(belief, reading("burette", 1, 4.8));
    TitrationVerdict verdict = belief.verdicts.get(0);
    assertEquals(4.8, verdict.resultPct(), 1e-12);
    assertEquals(READING_U, verdict.uPct(), 1e-12);
    assertEquals(Verdict.ACCEPTED, verdict.verdict());
  }

  @Test
  void twoMethodsInTurnEqualLeastSquaresWithABiasOfEach() {
    // A batch solution by Hipparchus: unknowns concentration and two biases in %, linear about 5 %.
    EstimatorSheet sheet = sheet(method("burette", 0, true), method("photometer", 0, true));
    Belief belief = believing(sheet);
    Titrations titrations = new Titrations(sheet);
    int rounds = 20;
    for (int i = 0; i < rounds; i++) {
      titrations.take(belief, reading("burette", 2 * i, 5));
      titrations.take(belief, reading("photometer", 2 * i + 1, 5));
    }
    double bias = BIAS * 5;
    RealMatrix information =
        new Array2DRowRealMatrix(
            MatrixUtils.createRealDiagonalMatrix(
                    new double[] {1 / 0.09, 1 / (bias * bias), 1 / (bias * bias)})
                .getData());
    for (int which = 1; which <= 2; which++) {
      RealMatrix row = new Array2DRowRealMatrix(1, 3);
      row.setEntry(0, 0, 1);
      row.setEntry(0, which, 1);
      information =
          information.add(
              row.transpose().multiply(row).scalarMultiply(rounds / (READING_U * READING_U)));
    }
    double expected = MatrixUtils.inverse(information).getEntry(0, 0);
    assertEquals(expected, belief.concentrationVariance(), 1e-6 * expected);
    assertTrue(
        belief.concentrationVariance() > bias * bias / 2 * 0.8,
        "40 readings of two methods tell no more than their two biases allow");
  }

  @Test
  void anIndicationMovesTheEstimateButStandsForNoTitration() {
    EstimatorSheet sheet = sheet(method("refractometer", 0, false));
    Belief belief = believing(sheet);
    double before = belief.concentrationVariance();
    new Titrations(sheet).take(belief, reading("refractometer", 1, 5.3));
    assertEquals(Verdict.INDICATIVE, belief.verdicts.get(0).verdict());
    assertTrue(belief.concentrationPct() > 5.1);
    assertTrue(belief.concentrationVariance() < before);
    assertEquals(
        Optional.empty(),
        Estimator.describe(sheet, belief).lastAcceptedTitration(),
        "not due less");
  }

  @Test
  void anIndicationThatContradictsIsDoubtfulAndConfirmsNothing() {
    EstimatorSheet sheet = sheet(method("refractometer", 0, false), method("burette", 0, true));
    Belief belief = believing(sheet);
    Titrations titrations = new Titrations(sheet);
    titrations.take(belief, reading("burette", 1, 6.8));
    assertEquals(Verdict.DOUBTFUL_HIGH, belief.verdicts.get(0).verdict());
    titrations.take(belief, reading("refractometer", 5, 6.8));
    assertNotEquals(Verdict.CONFIRMS_DOUBTFUL, belief.verdicts.get(1).verdict());
    assertTrue(Estimator.describe(sheet, belief).flags().contains(Flag.TITRATION_DOUBTFUL));
    titrations.take(belief, reading("burette", 9, 6.8));
    assertTrue(belief.verdicts.get(2).verdict().accepted());
  }

  @Test
  void soilMakesAnOldBathsReadingWeaker() {
    EstimatorSheet sheet = sheet(method("refractometer", 0.1, false), method("burette", 0, true));
    Belief belief = believing(sheet);
    belief.counter[Belief.CHARGED_AT] = Tanks.START.toEpochMilli();
    Balance balance = new Balance(sheet);
    for (int minute = 0; minute < 10 * 24 * 60; minute += 60) {
      long at = Tanks.minute(minute).toEpochMilli();
      balance.carry(
          belief, new Step(at, at + 3_600_000, 1000, 60, Double.NaN, 0, 0, 0, true, true));
    }
    // Ten days at 0.1 % a day of target 5 % are 1 %, that is 0.2 as a share; both lose as much of
    // their bias to its return to none, which the burette shows.
    double burette = belief.state.variance(Belief.STATES + 1);
    double soil = Math.sqrt(belief.state.variance(Belief.STATES) - burette);
    assertEquals(0.2, soil, 0.03);
    assertEquals(BIAS, Math.sqrt(burette), 1e-3);
  }

  @Test
  void whatTheSheetDoesNotKnowIsNotUsed() {
    EstimatorSheet sheet = sheet(method("burette", 0, true));
    Belief belief = believing(sheet);
    double before = belief.concentrationPct();
    Titrations titrations = new Titrations(sheet);
    titrations.take(belief, reading("hydrometer", 1, 5.5));
    titrations.take(belief, reading("burette", 2, 9.5));
    assertEquals(List.of(), belief.verdicts);
    assertEquals(before, belief.concentrationPct());
  }

  @Test
  void aMethodMoreInTheSheetLeavesTheEstimateAsItWas() {
    EstimatorSheet one = sheet(method("burette", 0, true));
    EstimateState state = Tanks.quietly(one, Estimator.start(one, Tanks.START), 1, 30);
    EstimatorSheet two = sheet(method("burette", 0, true), method("photometer", 0, true));
    EstimateState packed = EstimateState.restore(state.snapshot()).orElseThrow();
    EstimateState same = Tanks.quietly(one, packed, 31, 40);
    EstimateState more = Tanks.quietly(two, packed, 31, 40);
    Estimate expected = Estimator.vouched(one, same);
    Estimate found = Estimator.vouched(two, more);
    assertEquals(expected.concentrationPct(), found.concentrationPct(), 1e-9);
    assertEquals(expected.concentrationUPct(), found.concentrationUPct(), 1e-9);
    new Forecast(two, packed, Duration.ofHours(6));
  }
}
