package org.bathwarden.dosing;

import org.bathwarden.tank.Product;

/**
 * One portion that is wanted, and may be dosed.
 *
 * @param product what
 * @param volumeMl how much, mL
 * @param timeLimitS longest time it may take, s
 * @param reason why, for people
 */
public record Wish(Product product, long volumeMl, int timeLimitS, String reason) {

  /** How much, L. */
  double litres() {
    return volumeMl / 1000.0;
  }
}
