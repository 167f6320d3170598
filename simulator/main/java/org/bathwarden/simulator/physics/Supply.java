package org.bathwarden.simulator.physics;

/** What can be added to a bath. */
public enum Supply {
  /** Neat concentrate. */
  CONCENTRATE,
  /** Make-up water. */
  WATER
}
