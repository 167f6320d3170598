package org.bathwarden.dosing;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.dosing.CauseAndEffect.Escalation;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.dosing.InterlockState.Memory;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;

/** What a person does to a latched interlock, after its cause is gone. */
final class InterlockResets {

  private InterlockResets() {}

  static Memory apply(
      Row row,
      Memory memory,
      boolean seen,
      List<Entry> entries,
      Optional<Instant> sampledAt,
      List<InterlockEvent> events) {
    Memory next = memory;
    for (Entry entry : entries) {
      if (next.trippedAt().isEmpty()) {
        continue;
      }
      if (entry instanceof Entry.TripReset reset && reset.interlock().equals(row.cause().key())) {
        next = answer(row, next, refusal(row, next, seen, reset.role(), sampledAt), events);
      } else if (entry instanceof Entry.Release && releasable(row) && !next.escalated()) {
        next = answer(row, next, still(row, next, seen), events);
      }
    }
    return next;
  }

  private static Memory answer(
      Row row, Memory memory, Optional<String> refusal, List<InterlockEvent> events) {
    String words = row.description() + ": " + refusal.orElse("reset by a person");
    InterlockEvent.Kind kind =
        refusal.isPresent() ? InterlockEvent.Kind.RESET_REFUSED : InterlockEvent.Kind.RESET;
    events.add(new InterlockEvent(row.cause(), kind, words));
    return refusal.isPresent() ? memory : rested(row, memory);
  }

  /** A reset keeps count, so that a second trip is known as one; a release begins anew. */
  private static Memory rested(Row row, Memory memory) {
    return memory.escalated() || releasable(row)
        ? InterlockMemory.REST
        : InterlockMemory.counting(memory.onsets());
  }

  /** All that stands against a reset. */
  private static Optional<String> refusal(
      Row row, Memory memory, boolean seen, Role role, Optional<Instant> sampledAt) {
    List<String> against = new ArrayList<>();
    still(row, memory, seen).ifPresent(against::add);
    Role needed = needed(row, memory);
    if (role.compareTo(needed) < 0) {
      against.add("reset needs the role " + needed.name().toLowerCase(Locale.ROOT));
    }
    boolean sampled =
        sampledAt.isPresent()
            && memory.trippedAt().isPresent()
            && sampledAt.get().isAfter(memory.trippedAt().get());
    if (by(row, Effect.By.RESET_AFTER_TITRATION) && !sampled) {
      against.add("reset needs an accepted titration of a sample drawn after the trip");
    }
    return Optional.of(String.join("; ", against)).filter(words -> !words.isEmpty());
  }

  private static Optional<String> still(Row row, Memory memory, boolean seen) {
    if (!seen && !memory.active()) {
      return Optional.empty();
    }
    return Optional.of(
        "the cause is still there"
            + (row.cause().ofTheBook()
                ? "; enter resynchronise first, then this reset again, then the mode"
                : ""));
  }

  /** Lowest role that may end the latch. */
  static Role needed(Row row, Memory memory) {
    Role needed = Role.OPERATOR;
    for (Product product : Product.values()) {
      if (row.on(product) instanceof Effect.Latch latch && latch.role().compareTo(needed) > 0) {
        needed = latch.role();
      }
    }
    Optional<Role> escalated = row.escalation().flatMap(Escalation::latches);
    return memory.escalated() && escalated.isPresent() ? escalated.get() : needed;
  }

  /** What ends the latch; an escalated one needs a reset where a release would have done. */
  static Effect.By by(Row row, Memory memory) {
    if (by(row, Effect.By.RESET_AFTER_TITRATION)) {
      return Effect.By.RESET_AFTER_TITRATION;
    }
    return releasable(row) && !memory.escalated() ? Effect.By.RELEASE : Effect.By.RESET;
  }

  private static boolean releasable(Row row) {
    return by(row, Effect.By.RELEASE);
  }

  private static boolean by(Row row, Effect.By by) {
    for (Product product : Product.values()) {
      if (row.on(product) instanceof Effect.Latch latch && latch.by() == by) {
        return true;
      }
    }
    return false;
  }
}
