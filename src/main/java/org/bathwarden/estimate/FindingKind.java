package org.bathwarden.estimate;

import java.util.Locale;

/** Kinds of finding. */
public enum FindingKind {
  /** A titration that the other evidence contradicts. */
  DOUBTFUL_TITRATION,
  /** A probe stuck, drifting, fouled, without readings or out of range. */
  PROBE_SUSPECT,
  /** Concentrate or water came in that nothing booked. */
  UNBOOKED_ADDITION,
  /** Liquid left that drag-out and evaporation do not explain. */
  UNBOOKED_LOSS,
  /** A totalizer moved and the bath did not follow, or the other way round. */
  TOTALIZER_MISMATCH;

  /** The lower-case word used in files and messages. */
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
