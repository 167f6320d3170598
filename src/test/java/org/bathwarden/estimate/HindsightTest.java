package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;
import org.junit.jupiter.api.Test;

/** The smoother against least squares over the whole record, and what hindsight must keep to. */
class HindsightTest {

  private static final int STEPS = 12;
  private static final double[] PRIOR = {4, 0.25, 0, 1};
  private static final double[] H = {1, 0, 0.5, 1};
  private static final double R = 0.3;
  private static final double NOISE = 0.04;

  /** Position with velocity, a known constant, an offset; scattered pushes of the velocity. */
  private static void move(Gaussian state) {
    state.mapRow(0, new double[] {1, 0.5, 0, 0});
    state.x[0] += 0.5 * state.x[1];
    state.scale(1, 0.9);
    state.x[1] *= 0.9;
    state.widen(1, NOISE);
  }

  private static double reading(int step) {
    return new double[] {1, 2.5, 2, 4, 3.5, 5, 7, 6.5, 6, 8, 7, 9}[step - 1];
  }

  /** How the state after {@code step} depends on the three unknowns at first and on the pushes. */
  private static RealMatrix dependence(int step) {
    RealMatrix all = new Array2DRowRealMatrix(4, 3 + STEPS);
    all.setEntry(0, 0, 1);
    all.setEntry(1, 1, 1);
    all.setEntry(3, 2, 1);
    RealMatrix f =
        new Array2DRowRealMatrix(
            new double[][] {{1, 0.5, 0, 0}, {0, 0.9, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}});
    for (int k = 1; k <= step; k++) {
      all = f.multiply(all);
      all.addToEntry(1, 2 + k, 1);
    }
    return all;
  }

  private static Gaussian first() {
    Gaussian state = new Gaussian(4);
    for (int i = 0; i < 4; i++) {
      state.set(i, 0, PRIOR[i]);
    }
    return state;
  }

  @Test
  void equalsLeastSquaresOverTheWholeRecord() {
    // Normal equations of all readings, the prior and the pushes at once, solved by Hipparchus.
    int unknowns = 3 + STEPS;
    RealMatrix information = new Array2DRowRealMatrix(unknowns, unknowns);
    RealVector right = new ArrayRealVector(unknowns);
    for (int i = 0; i < unknowns; i++) {
      double variance = i == 0 ? PRIOR[0] : i == 1 ? PRIOR[1] : i == 2 ? PRIOR[3] : NOISE;
      information.setEntry(i, i, 1 / variance);
    }
    for (int k = 1; k <= STEPS; k++) {
      if (k % 3 != 0) {
        RealVector row = dependence(k).preMultiply(new ArrayRealVector(H));
        information = information.add(row.outerProduct(row).scalarMultiply(1 / R));
        right = right.add(row.mapMultiply(reading(k) / R));
      }
    }
    RealMatrix covariance = new CholeskyDecomposition(information).getSolver().getInverse();
    RealVector solved = covariance.operate(right);

    Gaussian state = first();
    Recording recording = new Recording();
    state.record(recording);
    List<Gaussian> filtered = new ArrayList<>();
    for (int k = 1; k <= STEPS; k++) {
      move(state);
      if (k % 3 != 0) {
        double predicted = 0;
        for (int i = 0; i < 4; i++) {
          predicted += H[i] * state.x[i];
        }
        state.update(H, reading(k) - predicted, R);
      }
      recording.endStep(state);
      filtered.add(state.copy());
    }
    Smoother smoother = new Smoother(4);
    int change = recording.changes().size();
    for (int k = STEPS; k >= 0; k--) {
      int until = k > 0 ? recording.ends().get(k - 1) : 0;
      while (change > until) {
        recording.changes().get(--change).back(smoother);
      }
      Gaussian smoothed = k > 0 ? filtered.get(k - 1).copy() : first();
      smoother.into(smoothed);
      RealMatrix depends = dependence(k);
      RealVector mean = depends.operate(solved);
      RealMatrix p = depends.multiply(covariance).multiplyTransposed(depends);
      for (int i = 0; i < 4; i++) {
        assertEquals(mean.getEntry(i), smoothed.x[i], 1e-12, "mean " + i + " after step " + k);
        for (int j = 0; j < 4; j++) {
          assertEquals(p.getEntry(i, j), smoothed.p[i * 4 + j], 1e-12, "covariance at " + k);
        }
        if (k > 0) {
          assertTrue(smoothed.variance(i) <= filtered.get(k - 1).variance(i) + 1e-9);
        }
      }
    }
  }

  @Test
  void whatWasMadeAnewPassesNothingBack() {
    Gaussian state = first();
    Recording recording = new Recording();
    state.record(recording);
    move(state);
    state.set(0, 3, 1);
    state.set(1, 0, 0);
    double[] first = {1, 0, 0, 0};
    state.update(first, 50, 0.01);
    recording.endStep(state);
    Smoother smoother = new Smoother(4);
    for (int change = recording.changes().size() - 1; change >= 0; change--) {
      recording.changes().get(change).back(smoother);
    }
    Gaussian smoothed = first();
    smoother.into(smoothed);
    for (int i = 0; i < 4; i++) {
      assertEquals(0, smoothed.x[i], 1e-9);
      assertEquals(PRIOR[i], smoothed.variance(i), 1e-9);
    }
  }

  @Test
  void whatIsLearnedOfAMomentIsWhatHindsightKnowsOfIt() {
    // Nothing moves between: the belief after a reading, a reshaping, a mean put right, and one
    // taken over whole is the smoothed belief of before, mean and covariance.
    Gaussian state = first();
    Recording recording = new Recording();
    move(state);
    state.set(2, 1, 0.5);
    state.record(recording);
    Gaussian before = state.copy();
    state.update(H, 1.5, R);
    state.x[1] = 0.2;
    state.reshape(new double[] {0, 1, 0, -1}, 0.3, 0.4);
    Gaussian other = state.copy();
    other.update(new double[] {1, 1, 0, 0}, -2, 1);
    other.update(new double[] {0, 0, 1, 1}, 1, 2);
    state.learn(other.x, other.p);
    state.update(H, 0.5, 2 * R);
    recording.endStep(state);
    Smoother smoother = new Smoother(4);
    for (int change = recording.changes().size() - 1; change >= 0; change--) {
      recording.changes().get(change).back(smoother);
    }
    smoother.into(before);
    for (int i = 0; i < 4; i++) {
      assertEquals(state.x[i], before.x[i], 1e-8, "mean " + i);
      for (int j = 0; j < 4; j++) {
        assertEquals(state.p[i * 4 + j], before.p[i * 4 + j], 1e-8, "covariance " + i + ", " + j);
      }
    }
  }

  private static List<Sample> quiet(int minutes) {
    Random random = new Random(11);
    List<Sample> samples = new ArrayList<>();
    for (int i = 0; i <= minutes; i++) {
      samples.add(
          new Sample(
              Tanks.minute(i),
              1000 + 1.5 * random.nextGaussian(),
              60 + 0.05 * random.nextGaussian(),
              51 * (1 + 0.002 * random.nextGaussian()),
              12,
              0,
              0,
              i % 10 == 9 ? 1 : 0,
              true,
              true));
    }
    return samples;
  }

  @Test
  void isNeverWiderThanTheEstimateOfTheTimeAndEndsWhereItEnds() {
    EstimatorSheet sheet = Tanks.sheet();
    List<Sample> samples = quiet(600);
    List<Entry> entries =
        List.of(Tanks.result("a", 200, 4.9, 0.1), Tanks.result("b", 500, 4.9, 0.1));
    List<Estimate> hindsight = Estimator.hindsight(sheet, samples, entries);
    assertEquals(samples.size(), hindsight.size());
    EstimateState state = Estimator.start(sheet, Tanks.START);
    double narrowed = 0;
    for (int i = 0; i < samples.size(); i++) {
      List<Entry> now =
          i == 200 ? entries.subList(0, 1) : i == 500 ? entries.subList(1, 2) : List.of();
      state = Estimator.run(sheet, state, samples.get(i), now);
      Estimate online = Estimator.estimate(sheet, state);
      Estimate later = hindsight.get(i);
      assertEquals(online.at(), later.at());
      assertTrue(
          later.concentrationUPct() <= online.concentrationUPct() * (1 + 1e-6), "minute " + i);
      assertTrue(later.volumeUL() <= online.volumeUL() * (1 + 1e-6), "minute " + i);
      narrowed = Math.max(narrowed, online.concentrationUPct() - later.concentrationUPct());
    }
    assertTrue(narrowed > 0.02, "the titrations speak of what was before: " + narrowed);
    Estimate end = Estimator.estimate(sheet, state);
    Estimate last = hindsight.get(samples.size() - 1);
    assertEquals(end.concentrationPct(), last.concentrationPct(), 1e-12);
    assertEquals(end.concentrationUPct(), last.concentrationUPct(), 1e-12);
  }

  @Test
  void aLateBookingCountsFromWhenItHappened() {
    EstimatorSheet sheet = Tanks.sheet();
    Entry late =
        new Entry.Addition(
            Tanks.stamp("pour", 170, 60), Product.CONCENTRATE, 10, false, Optional.empty());
    List<Sample> samples =
        quiet(180).stream()
            .map(
                s ->
                    new Sample(
                        s.at(),
                        s.at().isBefore(Tanks.minute(60)) ? s.levelL() : s.levelL() + 10,
                        s.temperatureC(),
                        Double.NaN,
                        12,
                        0,
                        0,
                        0,
                        true,
                        true))
            .toList();
    List<Estimate> hindsight = Estimator.hindsight(sheet, samples, List.of(late));
    double before = hindsight.get(58).concentrationPct();
    double after = hindsight.get(61).concentrationPct();
    // Mixing by volume: 10 L of neat concentrate in 985 L (at 20 °C).
    assertEquals(10 * (100 - before) / 995, after - before, 0.02);
  }

  @Test
  void anEmptyRecordHasNone() {
    assertEquals(List.of(), Estimator.hindsight(Tanks.sheet(), List.of(), List.of()));
  }
}
