package org.bathwarden.estimate;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.bathwarden.tank.Entry;

/**
 * What the estimator keeps between two images: the belief now, 48 h of history in steps of at most
 * a minute with a belief at the begin of every hour, the entries in it, and the step being filled.
 * Immutable; a new state shares all but the last block with the one before. About 0.5 MB, twice
 * that while something waits to be vouched for.
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
  private final List<Entry> claims;
  private final Optional<EstimateState> told;

  /** All lists are immutable and none of the beliefs is changed any more. */
  EstimateState(
      List<Block> blocks,
      Belief now,
      Partial partial,
      List<Entry> entries,
      List<Presumed> presumed,
      List<Finding> findings,
      List<Entry> claims,
      Optional<EstimateState> told) {
    this.blocks = blocks;
    this.now = now;
    this.partial = partial;
    this.entries = entries;
    this.presumed = presumed;
    this.findings = findings;
    this.claims = claims;
    this.told = told;
  }

  /** The same with what nobody vouches for beside it. */
  EstimateState beside(List<Entry> unvouched, Optional<EstimateState> withThem) {
    return new EstimateState(
        blocks, now, partial, entries, presumed, findings, unvouched, withThem);
  }

  /** Nothing at or before this moment can be entered any more. */
  public Instant since() {
    return Instant.ofEpochMilli(blocks.get(0).start().atMillis());
  }

  /** The titration, addition or removal of this id, if it is remembered. */
  public Optional<Entry> entered(String id) {
    return Stream.concat(entries.stream(), claims.stream())
        .filter(entry -> entry.stamp().id().equals(id))
        .filter(
            entry ->
                entry instanceof Entry.Titration
                    || entry instanceof Entry.Addition
                    || entry instanceof Entry.Removal)
        .findFirst();
  }

  /** Lowest level read from {@code from} to {@code to}, L; NaN if none was. */
  public double lowestLevelL(Instant from, Instant to) {
    double lowest = Double.NaN;
    for (Block block : blocks) {
      for (Step step : block.steps()) {
        lowest = lower(lowest, step, from, to);
      }
    }
    return partial.samples() > 0 ? lower(lowest, partial.toStep(), from, to) : lowest;
  }

  private static double lower(double lowest, Step step, Instant from, Instant to) {
    boolean within =
        step.endMillis() >= from.toEpochMilli() && step.startMillis() <= to.toEpochMilli();
    return within && !(lowest <= step.levelL()) && !Double.isNaN(step.levelL())
        ? step.levelL()
        : lowest;
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

  /** What is in the history and nobody vouches for, in order of time. */
  List<Entry> claims() {
    return claims;
  }

  /** The state as it would be if those of them that wait were vouched for; empty if none waits. */
  Optional<EstimateState> told() {
    return told;
  }

  /** What waits for someone to vouch for it, oldest first. */
  public List<Entry> waiting() {
    return told.map(Claims::in).orElse(List.of());
  }

  /**
   * What became of the latest titrations, by the time of their samples; at most 16, and as many
   * that nobody vouches for: these are judged beside the others and never change their verdicts.
   */
  public List<TitrationVerdict> verdicts() {
    return told.isEmpty() ? now.verdicts : Claims.merged(now.verdicts, told.get().now.verdicts);
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
