package org.bathwarden.dosing;

/**
 * Liquid that may already be in the tank without being in the belief: open orders and accepted hand
 * pours. Both cases count: that all of it is in, and that none is.
 *
 * @param concentrateL concentrate at most, L
 * @param waterL make-up water at most, L
 */
public record Unsettled(double concentrateL, double waterL) {

  /** Nothing is open. */
  public static final Unsettled NONE = new Unsettled(0, 0);
}
