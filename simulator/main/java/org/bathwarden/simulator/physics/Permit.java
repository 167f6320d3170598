package org.bathwarden.simulator.physics;

/** The permit bits of the line contract, in their order. */
public enum Permit {
  /** Bit 0: remote dosing allowed at the key switch. */
  REMOTE,
  /** Bit 1: emergency stop healthy. */
  EMERGENCY_STOP,
  /** Bit 2: circulation running. */
  CIRCULATION,
  /** Bit 3: drain closed. */
  DRAIN_CLOSED,
  /** Bit 4: concentrate available. */
  CONCENTRATE,
  /** Bit 5: water available. */
  WATER,
  /** Bit 6: overflow float clear. */
  FLOAT_CLEAR,
  /** Bit 7: no one is working on the tank. */
  NO_ONE,
  /** Bit 8: level settled. */
  LEVEL_SETTLED;

  /** The bit itself. */
  public int bit() {
    return 1 << ordinal();
  }
}
