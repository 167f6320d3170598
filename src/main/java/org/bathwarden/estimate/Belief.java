package org.bathwarden.estimate;

import java.util.List;

/**
 * What the filter believes at one moment: mean and covariance of its states, the few counters that
 * judge the probes, and the latest verdicts on titrations. Changed in place by one thread while a
 * step runs; never changed once it is part of an {@link EstimateState}.
 */
final class Belief {

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

  /** Moment, ms since the epoch. */
  static final int AT = 0;

  /** Last good temperature, °C. */
  static final int TEMPERATURE = 1;

  /** Hours since the last good temperature. */
  static final int TEMPERATURE_AGE_H = 2;

  /** Hours since the conductivity was last used. */
  static final int CONDUCTIVITY_AGE_H = 3;

  /** Hours since the level was last used. */
  static final int LEVEL_AGE_H = 4;

  /** Signed run of conductivities outside the gate. */
  static final int CONDUCTIVITY_RUN = 5;

  /** Signed run of levels outside the gate. */
  static final int LEVEL_RUN = 6;

  /** Running mean of the conductivity's squared normalised innovation. */
  static final int CONDUCTIVITY_NIS = 7;

  /** Running mean of the level's squared normalised innovation. */
  static final int LEVEL_NIS = 8;

  /** Last conductivity, mS/cm. */
  static final int CONDUCTIVITY_LAST = 9;

  /** Hours for which the conductivity has not moved. */
  static final int CONDUCTIVITY_STILL_H = 10;

  /** Precision of the concentration that came from the last titration, 1/%². */
  static final int FROM_TITRATION = 11;

  /** Precision that came from the probe since then. */
  static final int FROM_PROBE = 12;

  /** Precision that came from all before and the balance. */
  static final int FROM_BALANCE = 13;

  /** Concentration that recent additions will still add or take away while they mix in, %. */
  static final int UNMIXED = 14;

  /** Hours since something unexplained was met; infinite if never. */
  static final int UNEXPLAINED_AGE_H = 15;

  /** Why the conductivity is not used: 0 it is, 1 missing, 2 outside the sheet, 3 suspect. */
  static final int CONDUCTIVITY_WHY = 16;

  /** Evaporation by the correlation, L/h at 20 °C. */
  static final int EVAPORATION_GUESS = 17;

  /** Whether the bath was being mixed, 1 or 0. */
  static final int CIRCULATING = 18;

  /** Hours since the last load. */
  static final int LOAD_AGE_H = 19;

  /** How far parts are being washed, 0 to 1, smoothed over a quarter of an hour. */
  static final int ACTIVITY = 20;

  /** Concentrate of the last hour or so, L. */
  static final int RECENT_DOSE = 21;

  /** Innovation of the conductivity, smoothed over ten minutes. */
  static final int CONDUCTIVITY_LEAN = 22;

  /** Last level, L. */
  static final int LEVEL_LAST = 23;

  /** Hours for which the level has not moved. */
  static final int LEVEL_STILL_H = 24;

  /** Hours for which the temperature has not moved. */
  static final int TEMPERATURE_STILL_H = 25;

  /** Last temperature that was read, °C. */
  static final int TEMPERATURE_LAST = 26;

  /** What the level reads too high or too low by what is presumed, L; 0 if it is trusted. */
  static final int LEVEL_OFF = 27;

  /** Where the track of the level stood before that, L. */
  static final int LEVEL_BASE = 28;

  /** For how long, h. */
  static final int LEVEL_OFF_H = 29;

  /** Minutes for which a sudden change has been seen. */
  static final int ALERT_MIN = 30;

  /** Smoothed track of the level with what a slow loss is allowed, L. */
  static final int LEVEL_CREEP = 31;

  /** Its highest value since it was last explained, L. */
  static final int CREEP_TOP = 32;

  /** Moment of the highest value, ms since the epoch. */
  static final int CREEP_TOP_AT = 33;

  /** Sums of the response to doses: expected × (seen less expected), expected squared. */
  static final int DOSE_PRODUCT = 34;

  static final int DOSE_SQUARE = 35;

  /** The same of the response to water. */
  static final int WATER_PRODUCT = 36;

  static final int WATER_SQUARE = 37;

  /** Spikes of the conductivity in the last hour or so. */
  static final int SPIKES = 38;

  /** Running mean of the gain over about two days. */
  static final int GAIN_USUAL = 39;

  /** What the smoothed track of the level counts from, L. */
  static final int CREEP_BASE = 40;

  /** Loads in an hour, of late. */
  static final int LOADS_PER_H = 41;

  /** Hours without a good level. */
  static final int LEVEL_GONE_H = 42;

  /** Hours without a good conductivity. */
  static final int CONDUCTIVITY_GONE_H = 43;

  /** How likely the last titration was a blunder. */
  static final int BLUNDER = 44;

  /** Hours for which the conductivity probe, just cared for, is not used yet. */
  static final int CARE_H = 45;

  /** Hours until the last addition counts as mixed in. */
  static final int MIXING_LEFT_H = 46;

  /** Weighed sum of the level's innovations since it was last taken in, L. */
  static final int LEVEL_SUM = 47;

  /** Their weights. */
  static final int LEVEL_WEIGHT = 48;

  /** Time since the level was last taken in, h. */
  static final int LEVEL_SPAN_H = 49;

  /** By how much the level should have moved since it last did, L. */
  static final int LEVEL_DUE = 50;

  /** How often the level's last digit changes while it lives, 1/h. */
  static final int LEVEL_FLICKER = 51;

  /** The same of the temperature. */
  static final int TEMPERATURE_FLICKER = 52;

  /** The same of the conductivity. */
  static final int CONDUCTIVITY_FLICKER = 53;

  /** Which product's sheet this was learned with. */
  static final int PRODUCT = 54;

  /** When the bath was charged, ms since the epoch; 0 if that is not known. */
  static final int CHARGED_AT = 55;

  /** Which further methods of the sheet have a bias among the states. */
  static final int METHODS = 56;

  /** Last pH. */
  static final int PH_LAST = 57;

  /** Hours for which the pH has not moved. */
  static final int PH_STILL_H = 58;

  /** How often its last digit changes while it lives, 1/h. */
  static final int PH_FLICKER = 59;

  /** Hours without a pH; NaN if there never was one. */
  static final int PH_GONE_H = 60;

  /** Running mean of the pH over half an hour. */
  static final int PH_NOW = 61;

  /** The same over a day of hot bath; NaN until there is one. */
  static final int PH_USUAL = 62;

  /** First of the hours since each watched condition last held. */
  static final int QUIET_H = 63;

  /** How many counters. */
  static final int COUNTERS = QUIET_H + Watch.CONDITIONS;

  Gaussian state;
  final double[] counter;
  final Track track;
  List<TitrationVerdict> verdicts = List.of();

  private double[] gradient;

  Belief(int states) {
    this(new Gaussian(states), new double[COUNTERS], new Track());
  }

  private Belief(Gaussian state, double[] counter, Track track) {
    this.state = state;
    this.counter = counter;
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

  long atMillis() {
    return (long) counter[AT];
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
    return Math.max(1e-12, state.variance(concentrationGradient()));
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

  /** Lets all sources lose precision in proportion until they add up to what is left. */
  void settleCredit(double precision) {
    double sum = counter[FROM_TITRATION] + counter[FROM_PROBE] + counter[FROM_BALANCE];
    double factor = sum > 0 ? precision / sum : 0;
    counter[FROM_TITRATION] *= factor;
    counter[FROM_PROBE] *= factor;
    counter[FROM_BALANCE] = sum > 0 ? counter[FROM_BALANCE] * factor : precision;
  }

  private static double clamp(double value, double low, double high) {
    return Math.max(low, Math.min(high, value));
  }
}
