package org.bathwarden.dosing;

import org.bathwarden.tank.Role;

/** What a cause does to one product. */
public sealed interface Effect {

  /** Nothing. */
  record None() implements Effect {}

  /** Blocks while the cause is there, and until its off-delay is over. */
  record Block() implements Effect {}

  /**
   * Blocks until a person of at least {@code role} resets it after the cause is gone.
   *
   * @param role lowest role that may reset
   * @param by what resets
   */
  record Latch(Role role, By by) implements Effect {}

  /** Leaves a restricted permission. */
  record Restrict(Restriction to) implements Effect {}

  /** What resets a latch. */
  enum By {
    /** A trip reset. */
    RESET,
    /** A trip reset, once a sample drawn after the trip was accepted. */
    RESET_AFTER_TITRATION,
    /** A fresh release by a person. */
    RELEASE
  }
}
