package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import java.util.SortedSet;
import org.bathwarden.tank.Product;

/** What to do about a bath in this pass. */
public sealed interface Decision {

  /** Why, in words, with the numbers that decided. */
  String reason();

  /**
   * One portion is wanted and allowed.
   *
   * @param product what
   * @param volumeMl how much, mL, positive
   * @param reason why, and what limited it
   * @param expectedPct median concentration after it, %
   */
  record Dose(Product product, long volumeMl, String reason, double expectedPct)
      implements Decision {}

  /**
   * Something is wanted, not yet.
   *
   * @param product what is wanted
   * @param reason what it waits for
   * @param until when to look again, steady clock, if time alone brings it
   * @param titrationWanted whether a titration would bring it
   */
  record Wait(Product product, String reason, Optional<Instant> until, boolean titrationWanted)
      implements Decision {}

  /** Something is wanted, interlocks forbid it. */
  record Blocked(Product product, SortedSet<Cause> by, String reason) implements Decision {}

  /**
   * Nothing is wanted.
   *
   * @param reason why
   * @param drain what only a named person may do, if anything
   */
  record Nothing(String reason, Optional<TopUp.Drain> drain) implements Decision {}
}
