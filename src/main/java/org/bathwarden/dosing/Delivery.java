package org.bathwarden.dosing;

import java.util.Set;
import org.bathwarden.tank.Supply;

/**
 * How one product reaches one tank.
 *
 * @param supplies pumps, meters and drums on the way, shared or not
 * @param metered whether there is a meter; else the count is run time × calibrated rate
 * @param toleranceShare share by which delivered, totalizer and level may differ, 0 to 1
 */
public record Delivery(Set<Supply> supplies, boolean metered, double toleranceShare) {

  /** Copies the set. */
  public Delivery {
    supplies = Set.copyOf(supplies);
  }
}
