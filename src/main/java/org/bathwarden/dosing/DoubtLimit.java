package org.bathwarden.dosing;

import org.bathwarden.tank.Band;

/** How much concentrate doubt allows. */
public final class DoubtLimit {

  private DoubtLimit() {}

  /**
   * The largest dose of concentrate, L, that keeps P(C after &gt; high limit) ≤ {@code alpha} and
   * the median at or below the target; 0 if there is none, or if the belief is not usable.
   *
   * @param belief the joint belief
   * @param unsettled what may be in the tank already; counted in full
   * @param band target and limits
   * @param strengthPct S, %
   * @param alpha largest allowed probability, 0.01 by default
   */
  public static double largestDoseL(
      Belief belief, Unsettled unsettled, Band band, double strengthPct, double alpha) {
    return 0;
  }

  /** P(C after &gt; {@code limitPct}) if {@code doseL} of concentrate is added. */
  public static double probabilityAbove(
      Belief belief, Unsettled unsettled, double limitPct, double strengthPct, double doseL) {
    return 1;
  }
}
