package org.bathwarden.dosing;

import java.time.Instant;
import org.bathwarden.tank.Product;

/**
 * Something that flowed into a tank.
 *
 * @param product what
 * @param litres how much, L, positive
 * @param at when it ended, steady clock
 * @param origin by whom
 */
public record Flow(Product product, double litres, Instant at, Origin origin) {

  /** By whom or what something flowed. */
  public enum Origin {
    /** An order of this controller. */
    ORDER,
    /** A person at the panel. */
    PANEL,
    /** A person by hand, seen by no totalizer. */
    HAND,
    /** Another instance of the controller. */
    OTHER_INSTANCE,
    /** Nobody knows. */
    UNKNOWN
  }
}
