package org.bathwarden.dosing;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Memory of the interlocks between passes, all times on the steady clock.
 *
 * @param causes what is remembered of each cause that is not at rest
 * @param bypasses bypasses in force
 */
public record InterlockState(Map<Cause, Memory> causes, Map<Cause, Bypass> bypasses) {

  /** Every cause at rest. */
  public static final InterlockState REST = new InterlockState(Map.of(), Map.of());

  /** Copies the maps. */
  public InterlockState {
    causes = Map.copyOf(causes);
    bypasses = Map.copyOf(bypasses);
  }

  /** Causes that wait for a person's reset or release, in the order of the table. */
  public List<Cause> latched() {
    return causes.entrySet().stream()
        .filter(e -> e.getValue().trippedAt().isPresent())
        .map(Map.Entry::getKey)
        .sorted()
        .toList();
  }

  /**
   * While it lasts, its cause is not looked at; what latched before stays latched.
   *
   * @param author who granted it
   * @param reason why
   * @param until when it ends by itself
   */
  public record Bypass(String author, String reason, Instant until) {}

  /**
   * What is remembered of one cause.
   *
   * @param seenSince since when it has been observed without a break, if it is
   * @param goneSince since when it has been gone without a break, if it is
   * @param active whether it acts: its on-delay is over, its off-delay not
   * @param trippedAt when it latched, if it did
   * @param escalated whether its escalation was reached; reset with the latch
   * @param onsets when it began to act, within the escalation's window
   */
  public record Memory(
      Optional<Instant> seenSince,
      Optional<Instant> goneSince,
      boolean active,
      Optional<Instant> trippedAt,
      boolean escalated,
      List<Instant> onsets) {

    /** Copies the list. */
    public Memory {
      onsets = List.copyOf(onsets);
    }
  }
}
