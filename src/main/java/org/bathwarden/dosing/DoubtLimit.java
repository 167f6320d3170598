package org.bathwarden.dosing;

import org.bathwarden.tank.Band;

/**
 * How much concentrate doubt allows.
 *
 * <p>After a dose d the bath is above h exactly if C − h + (S − h)·s·(d + p)/V is positive, with s
 * the delivered scale and p what may be unsettled. C and V are jointly normal. The scale's error is
 * common to every dose since the last titration, so it is in C as well: s and C are taken as fully
 * correlated, which is the worst case. For each V the condition is then linear in one normal
 * variable, and what remains is one integral over V, taken by Simpson's rule.
 */
public final class DoubtLimit {

  /** Orders are whole mL: a dose is not looked for more finely. */
  private static final double FINEST_L = 0.0005;

  private static final int INTERVALS = 96;
  private static final double REACH = 6;

  private DoubtLimit() {}

  /**
   * The largest dose of concentrate, L as ordered, to half a mL below, that keeps P(C after &gt;
   * high limit) ≤ {@code alpha} and the median at or below the target; 0 if there is none, or if
   * the belief is not usable.
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
    while (high - low > FINEST_L) {
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
    double lever = (strengthPct - limitPct) * (doseL + unsettled.concentrateL());
    double step = 2 * REACH / INTERVALS;
    double sum = 0;
    for (int i = 0; i <= INTERVALS; i++) {
      double z = -REACH + i * step;
      double weight = i == 0 || i == INTERVALS ? 1 : i % 2 == 0 ? 2 : 4;
      sum += weight * Math.exp(-z * z / 2) * probabilityAt(z, belief, limitPct, lever);
    }
    return Math.min(1, sum * step / 3 / Math.sqrt(2 * Math.PI));
  }

  /** P(C after &gt; limit) if the volume is {@code z} standard uncertainties from its mean. */
  private static double probabilityAt(double z, Belief belief, double limitPct, double lever) {
    double volume =
        Math.max(belief.volume20L() / 100, belief.volume20L() + z * belief.volumeU20L());
    double mean = belief.concentrationPct() - limitPct + lever * belief.deliveredScale() / volume;
    double u = belief.concentrationUPct() + lever * belief.deliveredScaleU() / volume;
    double product = belief.concentrationUPct() * belief.volumeU20L();
    double rho = product > 0 ? Math.max(-1, Math.min(1, belief.covariance() / product)) : 0;
    double given = u * Math.sqrt(1 - rho * rho);
    double shifted = mean + u * rho * z;
    if (given < 1e-12) {
      return shifted > 0 ? 1 : 0;
    }
    return normalTail(-shifted / given);
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
                + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
    double tail = Math.exp(-x * x / 2) / Math.sqrt(2 * Math.PI) * series;
    return z >= 0 ? tail : 1 - tail;
  }
}
