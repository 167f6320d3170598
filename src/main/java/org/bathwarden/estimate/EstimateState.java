package org.bathwarden.estimate;

import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.Entry;

/**
 * What the estimator keeps between two images: the belief now, 48 h of history in steps of at most
 * a minute with a belief at the begin of every hour, the entries in it, and the step being filled.
 * Immutable; a new state shares all but the last block with the one before. About 0.5 MB.
 */
public final class EstimateState {

  /** One block of history: the belief before its first step, and the steps. */
  record Block(Belief start, List<Step> steps) {}

  private final List<Block> blocks;
  private final Belief now;
  private final Partial partial;
  private final List<Entry> entries;
  private final List<Presumed> presumed;
  private final List<Finding> findings;

  /** All lists are immutable and none of the beliefs is changed any more. */
  EstimateState(
      List<Block> blocks,
      Belief now,
      Partial partial,
      List<Entry> entries,
      List<Presumed> presumed,
      List<Finding> findings) {
    this.blocks = blocks;
    this.now = now;
    this.partial = partial;
    this.entries = entries;
    this.presumed = presumed;
    this.findings = findings;
  }

  List<Block> blocks() {
    return blocks;
  }

  Belief now() {
    return now;
  }

  Partial partial() {
    return partial;
  }

  List<Entry> entries() {
    return entries;
  }

  List<Presumed> presumed() {
    return presumed;
  }

  /** What was found of late, in order of number; at most 64, the withdrawn ones included. */
  public List<Finding> findings() {
    return findings;
  }

  /** What became of the latest titrations, newest last; at most 16. */
  public List<TitrationVerdict> verdicts() {
    return now.verdicts;
  }

  /** The state as plain values. */
  public EstimateSnapshot snapshot() {
    return Packing.pack(this);
  }

  /**
   * The state that a snapshot was taken of.
   *
   * @return empty if the snapshot has another layout or is damaged; the caller then starts anew
   */
  public static Optional<EstimateState> restore(EstimateSnapshot snapshot) {
    return Packing.unpack(snapshot);
  }
}
