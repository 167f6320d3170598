package org.bathwarden.dosing;

/**
 * A change of one interlock.
 *
 * @param cause which
 * @param kind what happened
 * @param words for people
 */
public record InterlockEvent(Cause cause, Kind kind, String words) {

  /** What can happen to an interlock. */
  public enum Kind {
    /** It begins to act. */
    ON,
    /** It no longer acts. */
    OFF,
    /** It latched. */
    TRIPPED,
    /** A person reset or released it. */
    RESET,
    /** A reset was refused. */
    RESET_REFUSED,
    /** It repeated or lasted so that its escalation applies. */
    ESCALATED,
    /** A person bypassed it, or renewed a bypass. */
    BYPASSED,
    /** A bypass ended, by a person or by its time. */
    BYPASS_ENDED
  }
}
