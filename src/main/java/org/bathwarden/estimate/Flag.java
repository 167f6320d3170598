package org.bathwarden.estimate;

import java.util.Locale;

/** What makes an estimate less than ordinary. */
public enum Flag {
  /** The last titration contradicts the other evidence: ask for a repeat. */
  TITRATION_DOUBTFUL,
  /** The conductivity probe contradicts the balance and is not used. */
  CONDUCTIVITY_SUSPECT,
  /** No usable conductivity. */
  CONDUCTIVITY_MISSING,
  /** The state lies outside what the sheet's solutions cover: the probe is not used. */
  CONDUCTIVITY_OUTSIDE,
  /** The level contradicts the balance and is not used. */
  LEVEL_SUSPECT,
  /** No usable level. */
  LEVEL_MISSING,
  /** No usable temperature. */
  TEMPERATURE_MISSING,
  /** Something happened that no totalizer and no entry explains. */
  UNEXPLAINED_CHANGE,
  /** The 95 % interval is wider than three quarters of the band. */
  WIDE;

  /** The lower-case word used in files and messages. */
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
