package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.CauseAndEffect.Escalation;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.dosing.InterlockState.Memory;
import org.bathwarden.tank.Product;

/** How the memory of one cause moves with time: delays, latches and repetition. */
final class InterlockMemory {

  static final Memory REST = counting(List.of());

  private InterlockMemory() {}

  /** At rest, but for what began lately. */
  static Memory counting(List<Instant> onsets) {
    return new Memory(Optional.empty(), Optional.empty(), false, Optional.empty(), false, onsets);
  }

  static boolean atRest(Memory memory) {
    return memory.seenSince().isEmpty()
        && !memory.active()
        && memory.trippedAt().isEmpty()
        && !memory.escalated()
        && memory.onsets().isEmpty();
  }

  /**
   * The memory after one pass.
   *
   * @param counted whether a beginning now counts towards the row's repetition
   */
  static Memory step(Row row, Memory before, boolean seen, boolean counted, Instant now) {
    Optional<Instant> seenSince =
        seen ? Optional.of(before.seenSince().orElse(now)) : Optional.empty();
    Optional<Instant> goneSince =
        seen || atRest(before) ? Optional.empty() : Optional.of(before.goneSince().orElse(now));
    boolean active = active(row, before, seenSince, goneSince, now);
    List<Instant> onsets = onsets(row, before, seen && counted, now);
    boolean escalated = escalated(row, before, active, seenSince, onsets, now);
    Optional<Instant> trippedAt = before.trippedAt();
    if (trippedAt.isEmpty() && latches(row, active, escalated)) {
      trippedAt = Optional.of(now);
    }
    return new Memory(seenSince, goneSince, active, trippedAt, escalated, onsets);
  }

  private static boolean active(
      Row row,
      Memory before,
      Optional<Instant> seenSince,
      Optional<Instant> goneSince,
      Instant now) {
    if (seenSince.isPresent()) {
      return before.active() || lasted(seenSince.get(), row.onDelay(), now);
    }
    return before.active()
        && goneSince.isPresent()
        && !lasted(goneSince.get(), row.offDelay(), now);
  }

  /** Beginnings count as seen, before any delay: a permit that flaps is never away for long. */
  private static List<Instant> onsets(Row row, Memory before, boolean seen, Instant now) {
    if (row.escalation().isEmpty() || row.escalation().get().times() < 2) {
      return List.of();
    }
    Instant oldest = now.minus(row.escalation().get().window());
    List<Instant> onsets = new ArrayList<>(before.onsets());
    onsets.removeIf(onset -> onset.isBefore(oldest));
    if (seen && before.seenSince().isEmpty()) {
      onsets.add(now);
    }
    return onsets;
  }

  private static boolean escalated(
      Row row,
      Memory before,
      boolean active,
      Optional<Instant> seenSince,
      List<Instant> onsets,
      Instant now) {
    if (row.escalation().isEmpty()) {
      return false;
    }
    Escalation escalation = row.escalation().get();
    boolean reached =
        escalation.times() > 1
            ? onsets.size() >= escalation.times()
            : active && seenSince.isPresent() && lasted(seenSince.get(), escalation.window(), now);
    boolean held = before.trippedAt().isPresent() || active;
    return reached || (before.escalated() && held);
  }

  private static boolean latches(Row row, boolean active, boolean escalated) {
    boolean byEffect = false;
    for (Product product : Product.values()) {
      byEffect |= row.on(product) instanceof Effect.Latch;
    }
    boolean byEscalation = row.escalation().flatMap(Escalation::latches).isPresent();
    return (active && byEffect) || (escalated && byEscalation);
  }

  private static boolean lasted(Instant since, Duration duration, Instant now) {
    return !since.plus(duration).isAfter(now);
  }
}
