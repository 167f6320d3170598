package org.bathwarden.cycle;

import java.time.Duration;
import java.util.List;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;

/**
 * What entries say of the liquid, carried from the wall clock, which people read, to the steady
 * one.
 */
final class Stamps {

  private Stamps() {}

  /** Entries whose times are those of the steady clock. */
  static List<Entry> steady(List<Entry> entries, Now now) {
    Duration wallAhead = Duration.between(now.steady(), now.wall());
    return entries.stream().map(entry -> shift(entry, wallAhead.negated())).toList();
  }

  /** What people say came in (positive) or was removed (negative) that no meter saw, L. */
  static double bookedL(List<Entry> entries) {
    double litres = 0;
    for (Entry entry : entries) {
      if (entry instanceof Entry.Addition addition && !addition.metered()) {
        litres += addition.litres();
      } else if (entry instanceof Entry.Removal removal) {
        litres -= removal.litres();
      }
    }
    return litres;
  }

  /** Only what speaks of the liquid is judged by when it happened. */
  private static Entry shift(Entry entry, Duration by) {
    return by.isZero() ? entry : entry.stamped(moved(entry.stamp(), by));
  }

  private static Stamp moved(Stamp s, Duration by) {
    return new Stamp(
        s.id(), s.tank(), s.author(), s.channel(), s.enteredAt().plus(by), s.happenedAt().plus(by));
  }
}
