package org.bathwarden.dosing;

/** What an interlock leaves of a permission that it does not take away. */
public enum Restriction {
  /** Reduced portion and caps, from the balance only. */
  REDUCED_CAPS,
  /** Only to hold the low-level point. */
  TO_LOW_LEVEL,
  /** Only below the working level. */
  TO_WORKING_LEVEL,
  /** Only what evaporated, and to hold the low-level point. */
  EVAPORATION_SHARE
}
