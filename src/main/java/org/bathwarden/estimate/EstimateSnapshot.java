package org.bathwarden.estimate;

import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.Entry;

/**
 * An {@link EstimateState} as plain values, exact to the last bit, history included: with 48 h of
 * minutes about 0.3 MB. A service that stores it with every entry and every few minutes replaces
 * the last one; the readings it recorded since bring a restored state up to date.
 *
 * @param layout which states and counters the numbers hold; another layout cannot be restored
 * @param blocks history in blocks of an hour, oldest first
 * @param now belief after the last closed step
 * @param verdicts its verdicts, oldest first
 * @param partial the step being filled, empty if there is none
 * @param entries entries within the history, in order of time
 * @param presumed what must have happened though nobody told
 * @param findings what was found of late
 * @param claims what is within it and nobody vouches for
 * @param told the state with those of them that wait, if any does
 */
public record EstimateSnapshot(
    int layout,
    List<Block> blocks,
    Numbers now,
    List<TitrationVerdict> verdicts,
    Numbers partial,
    List<Entry> entries,
    List<Presumed> presumed,
    List<Finding> findings,
    List<Entry> claims,
    Optional<EstimateSnapshot> told) {

  /** Copies the lists. */
  public EstimateSnapshot {
    blocks = List.copyOf(blocks);
    verdicts = List.copyOf(verdicts);
    entries = List.copyOf(entries);
    presumed = List.copyOf(presumed);
    findings = List.copyOf(findings);
    claims = List.copyOf(claims);
  }

  /**
   * One block of history.
   *
   * @param start belief before its first step
   * @param verdicts verdicts before its first step
   * @param steps its steps, ten numbers each
   */
  public record Block(Numbers start, List<TitrationVerdict> verdicts, Numbers steps) {
    /** Copies the list. */
    public Block {
      verdicts = List.copyOf(verdicts);
    }
  }
}
