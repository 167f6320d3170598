package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.dosing.InterlockState.Bypass;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Role;
import org.jspecify.annotations.Nullable;

/** Who may bypass which interlock, for how long, and which bypasses are in force. */
final class Bypasses {

  /** No bypass outlives a shift: who needs it longer renews it, with a reason; judgement. */
  static final Duration LONGEST = Duration.ofHours(8);

  private Bypasses() {}

  /** Why an entry is refused, all of it; empty if it is not. */
  static List<String> problems(CauseAndEffect table, Entry.Bypass e) {
    Optional<Row> row = Cause.ofKey(e.interlock()).flatMap(table::row);
    if (row.isEmpty()) {
      return List.of("there is no interlock " + e.interlock());
    } else if (row.get().bypass().isEmpty()) {
      return List.of(e.interlock() + " is never bypassed");
    }
    List<String> wrong = new ArrayList<>();
    Role needed = row.get().bypass().get();
    if (e.role().compareTo(needed) < 0) {
      wrong.add("a bypass needs the role " + needed.name().toLowerCase(Locale.ROOT));
    }
    if (e.reason().isBlank()) {
      wrong.add("a bypass needs a reason");
    }
    if (e.duration().isNegative() || e.duration().compareTo(LONGEST) > 0) {
      wrong.add("a bypass lasts at most " + LONGEST.toHours() + " h");
    }
    return wrong;
  }

  /**
   * The bypasses of this pass.
   *
   * @param before those of the pass before
   * @param entries of this pass, without those that have a problem
   */
  static Map<Cause, Bypass> step(
      CauseAndEffect table,
      Map<Cause, Bypass> before,
      List<Entry> entries,
      Now now,
      List<InterlockEvent> events) {
    Map<Cause, Bypass> after = new EnumMap<>(Cause.class);
    after.putAll(before);
    for (Entry entry : entries) {
      if (entry instanceof Entry.Bypass e) {
        Cause.ofKey(e.interlock()).flatMap(table::row).ifPresent(row -> take(row, e, now, after));
      }
    }
    after.values().removeIf(bypass -> !bypass.until().isAfter(now.steady()));
    for (Row row : table.rows()) {
      report(row, before.get(row.cause()), after.get(row.cause()), events);
    }
    return after;
  }

  private static void take(Row row, Entry.Bypass e, Now now, Map<Cause, Bypass> after) {
    Instant until = now.steady().plus(e.duration());
    after.put(row.cause(), new Bypass(e.stamp().author(), e.reason(), until));
  }

  private static void report(
      Row row, @Nullable Bypass before, @Nullable Bypass after, List<InterlockEvent> events) {
    if (after != null && !after.equals(before)) {
      String words = "bypassed by " + after.author() + " until " + after.until() + ": ";
      event(row, InterlockEvent.Kind.BYPASSED, words + after.reason(), events);
    } else if (before != null && after == null) {
      event(row, InterlockEvent.Kind.BYPASS_ENDED, "bypass ended", events);
    }
  }

  private static void event(
      Row row, InterlockEvent.Kind kind, String words, List<InterlockEvent> events) {
    events.add(new InterlockEvent(row.cause(), kind, row.description() + ": " + words));
  }
}
