package org.bathwarden.dosing;

import java.util.Optional;

/**
 * The proposals of one tank: at most one at a time.
 *
 * @param highestNumber highest number used
 * @param open the one that is open
 * @param last the one that ended last
 */
public record Proposals(long highestNumber, Optional<Proposal> open, Optional<Ended> last) {

  /** None was ever made. */
  public static final Proposals NONE = new Proposals(0, Optional.empty(), Optional.empty());

  /**
   * A proposal that ended.
   *
   * @param number its number
   * @param end how
   * @param litres what was poured, L
   */
  public record Ended(long number, Proposal.End end, double litres) {}
}
