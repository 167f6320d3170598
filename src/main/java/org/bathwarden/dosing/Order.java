package org.bathwarden.dosing;

import org.bathwarden.line.OrderBlock;
import org.bathwarden.tank.Product;

/**
 * One dose order as it was decided on.
 *
 * @param number its number, never used again
 * @param instance the instance that made it, 1 to 15
 * @param product what
 * @param orderedMl how much, mL
 * @param timeLimitS the PLC stops it after this time, s
 * @param epoch the epoch it was made under
 * @param basis {@code plc_heartbeat} as last read when it was decided on
 * @param reason why, for people
 */
public record Order(
    long number,
    int instance,
    Product product,
    long orderedMl,
    int timeLimitS,
    long epoch,
    int basis,
    String reason) {

  /** As it goes to the PLC. */
  OrderBlock block() {
    return new OrderBlock(product, orderedMl, timeLimitS, number, epoch, basis);
  }
}
