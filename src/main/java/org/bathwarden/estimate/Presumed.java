package org.bathwarden.estimate;

/**
 * Something that must have happened though nobody told: put into the history at the time it began,
 * until the history with later entries no longer calls for it.
 *
 * @param kind what it is taken for
 * @param atMillis when it began, ms since the epoch
 * @param decidedMillis after which step it was recognised
 * @param size litres; for a probe the step in ln κ; for a leak L/h
 * @param u standard uncertainty of {@code size}
 * @param evidence standard deviations of ordinary scatter
 */
public record Presumed(
    Kind kind, long atMillis, long decidedMillis, double size, double u, double evidence) {

  /** What a sudden change can be taken for. */
  public enum Kind {
    /** Concentrate poured in. */
    CONCENTRATE,
    /** Concentrate that was counted and never came. */
    NO_DOSE,
    /** The concentrate totalizer counts otherwise from now on; the size is a logarithm. */
    METER,
    /** It counts as before again. */
    METER_BACK,
    /** Water let in. */
    WATER,
    /** Bath let out at once. */
    DUMP,
    /** Bath leaving all the time. */
    LEAK,
    /** The level reads wrong from now on: foam, an offset. */
    LEVEL_OFF,
    /** The conductivity probe reads by a factor otherwise from now on. */
    PROBE_STEP
  }
}
