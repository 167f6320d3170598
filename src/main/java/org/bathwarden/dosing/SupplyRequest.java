package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Set;
import org.bathwarden.tank.Supply;
import org.bathwarden.tank.TankId;

/**
 * A tank that wants, or holds, the supplies of one product.
 *
 * @param tank which
 * @param supplies all that it needs at once
 * @param open whether its order is open: then it keeps them until the order is final
 * @param belowLowLimit whether the tank is below a low limit
 * @param since since when it has been waiting, steady clock
 */
public record SupplyRequest(
    TankId tank, Set<Supply> supplies, boolean open, boolean belowLowLimit, Instant since) {

  /** Copies the set. */
  public SupplyRequest {
    supplies = Set.copyOf(supplies);
  }
}
