package org.bathwarden.dosing;

import java.util.Set;
import org.bathwarden.tank.Supply;

/**
 * How one product reaches one tank.
 *
 * @param supplies pumps, meters and drums on the way, shared or not
 * @param metered whether there is a meter; else the count is run time × calibrated rate
 * @param toleranceShare share by which delivered, totalizer and level may differ, 0 to 1
 * @param unseenMl what may flow at most before an output drops that nobody writes any more, mL; 0
 *     where a PLC counts it
 */
public record Delivery(
    Set<Supply> supplies, boolean metered, double toleranceShare, double unseenMl) {

  /** A way that a PLC counts. */
  public Delivery(Set<Supply> supplies, boolean metered, double toleranceShare) {
    this(supplies, metered, toleranceShare, 0);
  }

  /** The same where up to {@code ml} may flow unseen. */
  public Delivery unseen(double ml) {
    return new Delivery(supplies, metered, toleranceShare, ml);
  }

  /** Copies the set. */
  public Delivery {
    supplies = Set.copyOf(supplies);
  }
}
