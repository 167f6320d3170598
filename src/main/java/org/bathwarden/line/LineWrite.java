package org.bathwarden.line;

import org.bathwarden.tank.TankId;

/** Everything the controller may write to a tank's PLC. */
public sealed interface LineWrite {

  /** The tank written to. */
  TankId tank();

  /** Heartbeat and epoch, written together, the epoch first. */
  record Beat(TankId tank, int heartbeat, long epoch) implements LineWrite {}

  /**
   * An order: block, read-back, commit, as one bounded call. The order is durable before.
   *
   * @param tankNumber for the check
   * @param block what to order
   */
  record Submit(TankId tank, int tankNumber, OrderBlock block) implements LineWrite {}

  /** Raises {@code abandon_to}. */
  record Abandon(TankId tank, long upTo) implements LineWrite {}

  /**
   * Asks to become holder: {@code epoch_confirm} 0, then the request, then the confirmation. Epoch
   * 0 only clears the confirmation: a PLC judges what has changed from one of its scans to the
   * next, so that a claim that is repeated must have been away for a scan.
   */
  record ClaimEpoch(TankId tank, long epoch) implements LineWrite {}
}
