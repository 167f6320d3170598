package org.bathwarden.signal;

/**
 * How far a reading can be trusted, and why not.
 *
 * @param grade what may be done with it
 * @param reason why it is not good; {@link Reason#NONE} for a good one
 */
public record Quality(Grade grade, Reason reason) {

  /** A good reading. */
  public static final Quality GOOD = new Quality(Grade.GOOD, Reason.NONE);

  /** A bad reading, for {@code reason}. */
  public static Quality bad(Reason reason) {
    return new Quality(Grade.BAD, reason);
  }

  /** An uncertain reading, for {@code reason}. */
  public static Quality uncertain(Reason reason) {
    return new Quality(Grade.UNCERTAIN, reason);
  }

  /** Whether the reading is good. */
  public boolean good() {
    return grade == Grade.GOOD;
  }

  /** What may be done with a reading. */
  public enum Grade {
    /** Can be used. */
    GOOD,
    /** Serves display, never a permit or a decision. */
    UNCERTAIN,
    /** Is no number. */
    BAD
  }

  /** Why a reading is not good. */
  public enum Reason {
    /** It is good. */
    NONE,
    /** The point is not connected on this line. */
    NOT_WIRED,
    /** The connection to the PLC is down. */
    NO_LINK,
    /** The PLC's heartbeat stands still, or the image is too old. */
    STALE,
    /** NaN, infinite, or the configured sentinel. */
    NOT_A_NUMBER,
    /** Outside the range of the instrument. */
    OUT_OF_RANGE,
    /** The PLC declares the instrument faulty. */
    FAULT_DECLARED,
    /** The register or node does not exist or answers with an error. */
    ITEM_MISSING,
    /** The server gave a status other than Good. */
    BAD_STATUS,
    /** It changes faster than the process can. */
    RATE,
    /** It does not move although it should. */
    FROZEN,
    /** A current at or below 3.6 mA: the instrument reports its failure, or the wire is broken. */
    FAILURE_LOW,
    /** A current at or above 21 mA: the instrument reports its failure, or the wire is shorted. */
    FAILURE_HIGH,
    /** A current between measurement and failure, which says nothing. */
    BETWEEN_BANDS,
    /**
     * A current just outside 4 to 20 mA, at the low end of the range: the value is this or less.
     */
    SATURATED_LOW,
    /** The same at the high end of the range: the value is this or more. */
    SATURATED_HIGH,
    /** A resistance below what the sensor can have. */
    SHORT_CIRCUIT,
    /** A resistance above what the sensor can have. */
    OPEN_CIRCUIT,
    /** It needs the bath's temperature, which is bad or uncertain. */
    NO_TEMPERATURE
  }
}
