package org.bathwarden.estimate;

import java.util.List;

/**
 * What the filter believes at one moment: mean and covariance of its states, the counters, the
 * track of the readings, and the latest verdicts on titrations. Changed in place by one thread
 * while a step runs; never changed once it is part of an {@link EstimateState}.
 */
final class Belief extends Counters {

  /** Alkalinity in the tank, %·L. */
  static final int ALKALI = 0;

  /** Volume at 20 °C, L. */
  static final int VOLUME = 1;

  /** Foreign salts, mS/cm·L at the setpoint temperature. */
  static final int FOREIGN = 2;

  /** ln of the bath that leaves with a load, L at 20 °C. */
  static final int LOSS = 3;

  /** ln of evaporation against the correlation. */
  static final int EVAPORATION = 4;

  /** ln of delivered strength × totalizer scale. */
  static final int DELIVERED = 5;

  /** ln of the water totalizer's scale. */
  static final int WATER = 6;

  /** ln of the probe's gain. */
  static final int GAIN = 7;

  /** ln of the probe's error that lasts hours. */
  static final int GAIN_HOURS = 8;

  /** Error of the curve's slope. */
  static final int SLOPE = 9;

  /** Error of the curve's temperature coefficient, 1/K. */
  static final int ALPHA = 10;

  /** Constant error of the level, L. */
  static final int OFFSET = 11;

  /** Error of the level that lasts hours, L. */
  static final int LEVEL_HOURS = 12;

  /** Alkalinity eaten, as a share of that dragged out. */
  static final int CONSUMPTION = 13;

  /** Foreign conductivity dragged in, as a share of the fresh bath's. */
  static final int DRAG_IN = 14;

  /** ln of what titrations read against the true concentration. */
  static final int TITRATION = 15;

  /** What the level reads too high while parts are washed, L. */
  static final int DISPLACEMENT = 16;

  /** ln of carbonation against its first guess. */
  static final int CARBONATION = 17;

  /** Change of the probe's gain, ln per day: a film that grows, carbonate that displaces alkali. */
  static final int GAIN_RATE = 18;

  /** Bath that leaves all the time beyond what explains it, L/h at 20 °C. */
  static final int LEAK = 19;

  /**
   * How many states every tank has. After them comes, for each further method of its sheet, ln of
   * what the method reads against the true concentration.
   */
  static final int STATES = 20;

  Gaussian state;
  final Track track;
  List<TitrationVerdict> verdicts = List.of();

  private double[] gradient;

  Belief(int states) {
    this(new Gaussian(states), new double[COUNTERS], new Track());
  }

  private Belief(Gaussian state, double[] counter, Track track) {
    super(counter);
    this.state = state;
    this.track = track;
    gradient = new double[state.n];
  }

  /**
   * Keeps the states of every tank and makes room for {@code states} in all; the new are nought.
   */
  void resize(int states) {
    state = state.resized(states, STATES);
    gradient = new double[states];
  }

  Belief copy() {
    Belief copy = new Belief(state.copy(), counter.clone(), new Track(track));
    copy.verdicts = verdicts;
    return copy;
  }

  /** The same with another mean and covariance; all else is shared, for reading only. */
  Belief seen(Gaussian other) {
    Belief seen = new Belief(other, counter, track);
    seen.verdicts = verdicts;
    return seen;
  }

  /** Takes over all that {@code other}, a belief in the same states, says. */
  void become(Belief other) {
    state.become(other.state);
    System.arraycopy(other.counter, 0, counter, 0, COUNTERS);
    track.become(other.track);
    verdicts = other.verdicts;
  }

  double volumeL() {
    return state.x[VOLUME];
  }

  double concentrationPct() {
    return state.x[ALKALI] / state.x[VOLUME];
  }

  /** How the concentration depends on the states; the array is reused. */
  double[] concentrationGradient() {
    gradient[ALKALI] = 1 / state.x[VOLUME];
    gradient[VOLUME] = -state.x[ALKALI] / (state.x[VOLUME] * state.x[VOLUME]);
    return gradient;
  }

  double concentrationVariance() {
    double a = 1 / state.x[VOLUME];
    double v = -state.x[ALKALI] * a * a;
    double both = state.p[ALKALI * state.n + VOLUME];
    return Math.max(
        1e-12, a * a * state.variance(ALKALI) + 2 * a * v * both + v * v * state.variance(VOLUME));
  }

  /**
   * Keeps the means where the model has a meaning: some liquid, no negative alkalinity, scales
   * within a factor of seven.
   *
   * @param largestL more than the tank can hold, L
   */
  void bound(double largestL) {
    double[] x = state.x;
    x[VOLUME] = clamp(x[VOLUME], 1e-3 * largestL, largestL);
    x[ALKALI] = clamp(x[ALKALI], 1e-6 * x[VOLUME], 100 * x[VOLUME]);
    for (int i = LOSS; i <= GAIN_HOURS; i++) {
      double widest = i == LOSS ? 20 : 2;
      x[i] = clamp(x[i], -widest, widest);
    }
    x[CARBONATION] = clamp(x[CARBONATION], -2, 2);
    x[TITRATION] = clamp(x[TITRATION], -0.5, 0.5);
    for (int i = STATES; i < state.n; i++) {
      x[i] = clamp(x[i], -0.5, 0.5);
    }
    x[CONSUMPTION] = clamp(x[CONSUMPTION], -0.5, 3);
  }

  /** Books a change of the concentration's variance to where it came from. */
  void credit(int source, double varianceBefore) {
    double after = 1 / concentrationVariance();
    double before = 1 / varianceBefore;
    if (after > before) {
      counter[source] += after - before;
    }
    settleCredit(after);
  }

  private static double clamp(double value, double low, double high) {
    return Math.max(low, Math.min(high, value));
  }
}
