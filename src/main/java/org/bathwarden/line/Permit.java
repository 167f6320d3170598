package org.bathwarden.line;

import java.util.EnumSet;
import java.util.Set;
import org.bathwarden.tank.Product;

/** Bits of {@code permits}; the ordinal is the bit number. */
public enum Permit {
  /** Key switch: remote dosing allowed. */
  REMOTE,
  /** Emergency stop healthy. */
  EMERGENCY_STOP,
  /** Circulation running. */
  CIRCULATION,
  /** Drain closed. */
  DRAIN_CLOSED,
  /** Concentrate available. */
  CONCENTRATE_AVAILABLE,
  /** Make-up water available. */
  WATER_AVAILABLE,
  /** Overflow float clear. */
  OVERFLOW_CLEAR,
  /** No one is working on the tank. */
  NO_ONE_AT_TANK,
  /** Optional, not tested by the PLC: no load in the bath, spray pump as usual. */
  LEVEL_SETTLED;

  private static final Set<Permit> FOR_CONCENTRATE =
      Set.of(
          REMOTE,
          EMERGENCY_STOP,
          CIRCULATION,
          DRAIN_CLOSED,
          CONCENTRATE_AVAILABLE,
          OVERFLOW_CLEAR,
          NO_ONE_AT_TANK);
  private static final Set<Permit> FOR_WATER =
      Set.of(REMOTE, EMERGENCY_STOP, DRAIN_CLOSED, WATER_AVAILABLE, OVERFLOW_CLEAR, NO_ONE_AT_TANK);

  /** The permits that {@code product} needs. */
  public static Set<Permit> neededFor(Product product) {
    return product == Product.CONCENTRATE ? FOR_CONCENTRATE : FOR_WATER;
  }

  /** The permits given by the bits. */
  public static Set<Permit> of(int bits) {
    EnumSet<Permit> given = EnumSet.noneOf(Permit.class);
    for (Permit permit : values()) {
      if ((bits & permit.bit()) != 0) {
        given.add(permit);
      }
    }
    return given;
  }

  /** Its bit. */
  public int bit() {
    return 1 << ordinal();
  }
}
