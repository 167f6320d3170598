package org.bathwarden.estimate;

import static org.bathwarden.estimate.Belief.GAIN_RATE;
import static org.bathwarden.estimate.Belief.TITRATION;

/**
 * Most tanks are quieter than the filter allows for: the filter is given the doubt of the tank that
 * is not. Here both kinds are weighed against each other by what the filter has learned, which asks
 * for no second filter: a constant that was learned with a wide prior is known with a narrow one
 * once the difference of the two is taken in as a measurement, and how well that fits is the
 * evidence for it (a mixture in the scale of a prior). Only what is told is weighed so; the filter
 * goes on with the wide doubt.
 */
final class Usual {

  /** In most baths the gain stays: neither film nor carbonate, ln per day; judgement. */
  private static final double STILL_GAIN_RATE = 0.003;

  /** Most kits and users are as good as their reagents; common practice, no source. */
  private static final double GOOD_KIT = 0.012;

  /** How many tanks are of the usual kind; judgement. */
  private static final double SHARE = 0.6;

  private Usual() {}

  /** What is to be told of {@code filtered}, which stays as it is. */
  static Gaussian of(Gaussian filtered, Priors priors) {
    Gaussian state = filtered.copy();
    double[] h = new double[state.n];
    weigh(state, h, GAIN_RATE, STILL_GAIN_RATE, priors.gainRateShare());
    weigh(state, h, TITRATION, GOOD_KIT, priors.titrationShare());
    return state;
  }

  /**
   * Weighs two priors of state {@code i}, which both have the mean 0.
   *
   * @param usual standard deviation of the narrow one
   * @param wide standard deviation of the one that the filter was given
   */
  private static void weigh(Gaussian state, double[] h, int i, double usual, double wide) {
    if (!(wide > usual)) {
      return;
    }
    double mean = state.x[i];
    double variance = state.variance(i);
    double r = 1 / (1 / (usual * usual) - 1 / (wide * wide));
    double s = variance + r;
    double evidence = Math.exp(-mean * mean / (2 * s)) * Math.sqrt((wide * wide + r) / s);
    double share = SHARE * evidence / (SHARE * evidence + 1 - SHARE);
    double apart = -mean * variance / s;
    double after = variance * (1 - share * variance / s) + share * (1 - share) * apart * apart;
    h[i] = 1;
    state.reshape(h, share * apart, after);
    h[i] = 0;
  }
}
