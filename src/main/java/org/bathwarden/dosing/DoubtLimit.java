package org.bathwarden.dosing;

import org.bathwarden.tank.Band;

/**
 * How much concentrate doubt allows.
 *
 * <p>After a dose d the bath is above h exactly if g = (C − h)·V + (S − h)·s·(d + p) is positive,
 * with s the delivered scale and p what may be unsettled. C and V are jointly normal, so mean and
 * variance of the first product are known exactly (moments of a product of two normal variables,
 * Isserlis' theorem). The scale's error is common to every dose since the last titration, so it is
 * in C as well: both are taken as fully correlated, which is the worst case below the limit.
 */
public final class DoubtLimit {

  private static final int HALVINGS = 60;

  private DoubtLimit() {}

  /**
   * The largest dose of concentrate, L as ordered, that keeps P(C after &gt; high limit) ≤ {@code
   * alpha} and the median at or below the target; 0 if there is none, or if the belief is not
   * usable.
   *
   * @param belief the joint belief
   * @param unsettled what may be in the tank already; counted in full
   * @param band target and limits
   * @param strengthPct S, %
   * @param alpha largest allowed probability, 0.01 by default
   */
  public static double largestDoseL(
      Belief belief, Unsettled unsettled, Band band, double strengthPct, double alpha) {
    if (!usable(belief, unsettled, band.targetPct(), strengthPct)
        || !(alpha > 0 && alpha < 0.5)
        || !(band.highPct() >= band.targetPct())) {
      return 0;
    }
    double median = toTargetL(belief, unsettled, band, strengthPct);
    if (!(median > 0)) {
      return 0;
    }
    if (probabilityAbove(belief, unsettled, band.highPct(), strengthPct, median) <= alpha) {
      return median;
    }
    double low = 0;
    double high = median;
    for (int i = 0; i < HALVINGS; i++) {
      double middle = (low + high) / 2;
      if (probabilityAbove(belief, unsettled, band.highPct(), strengthPct, middle) <= alpha) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }

  /** The dose, L as ordered, that puts the median on target; not positive if it is there. */
  static double toTargetL(Belief belief, Unsettled unsettled, Band band, double strengthPct) {
    return belief.volume20L()
            * (band.targetPct() - belief.concentrationPct())
            / ((strengthPct - band.targetPct()) * belief.deliveredScale())
        - unsettled.concentrateL();
  }

  /**
   * P(C after &gt; {@code limitPct}) if {@code doseL} of concentrate is ordered; 1 if the belief is
   * not usable.
   */
  public static double probabilityAbove(
      Belief belief, Unsettled unsettled, double limitPct, double strengthPct, double doseL) {
    if (!usable(belief, unsettled, limitPct, strengthPct) || !(doseL >= 0)) {
      return 1;
    }
    double below = belief.concentrationPct() - limitPct;
    double volume = belief.volume20L();
    double varC = belief.concentrationUPct() * belief.concentrationUPct();
    double varV = belief.volumeU20L() * belief.volumeU20L();
    double cov = belief.covariance();
    double lever = (strengthPct - limitPct) * (doseL + unsettled.concentrateL());
    double mean = below * volume + cov + lever * belief.deliveredScale();
    double bathVariance =
        below * below * varV
            + volume * volume * varC
            + 2 * below * volume * cov
            + varC * varV
            + cov * cov;
    double u = Math.sqrt(Math.max(0, bathVariance)) + lever * belief.deliveredScaleU();
    if (u == 0) {
      return mean > 0 ? 1 : 0;
    }
    return normalTail(-mean / u);
  }

  private static boolean usable(
      Belief belief, Unsettled unsettled, double limitPct, double strengthPct) {
    return belief.usable()
        && unsettled.concentrateL() >= 0
        && unsettled.concentrateL() < Double.POSITIVE_INFINITY
        && limitPct > 0
        && strengthPct > limitPct;
  }

  /**
   * P(Z &gt; z) of the standard normal distribution. Source: Abramowitz and Stegun, 26.2.17 (error
   * below 7.5e-8).
   */
  private static double normalTail(double z) {
    double x = Math.abs(z);
    double t = 1 / (1 + 0.2316419 * x);
    double series =
        t
            * (0.319381530
                + t
                    * (-0.356563782
                        + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
    double tail = Math.exp(-x * x / 2) / Math.sqrt(2 * Math.PI) * series;
    return z >= 0 ? tail : 1 - tail;
  }
}
