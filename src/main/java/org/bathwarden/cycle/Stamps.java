package org.bathwarden.cycle;

import java.time.Duration;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Stamp;

/** Carries stamps from the wall clock, which people read, to the steady one. */
final class Stamps {

  private Stamps() {}

  /** {@code entry} with its times moved by {@code by}. */
  static Entry shift(Entry entry, Duration by) {
    return by.isZero() ? entry : stamped(entry, moved(entry.stamp(), by));
  }

  private static Stamp moved(Stamp s, Duration by) {
    return new Stamp(
        s.id(),
        s.tank(),
        s.author(),
        s.channel(),
        s.enteredAt().plus(by),
        s.happenedAt().plus(by));
  }

  /** Only what speaks of the liquid is judged by when it happened. */
  private static Entry stamped(Entry entry, Stamp stamp) {
    if (entry instanceof Entry.Titration t) {
      return new Entry.Titration(
          stamp, t.value(), t.unit(), t.endPoint(), t.uPct(), t.note());
    }
    if (entry instanceof Entry.Addition a) {
      return new Entry.Addition(stamp, a.product(), a.litres(), a.metered(), a.lot());
    }
    if (entry instanceof Entry.Removal r) {
      return new Entry.Removal(stamp, r.litres(), r.reason());
    }
    if (entry instanceof Entry.Charge c) {
      return new Entry.Charge(stamp, c.concentrationPct(), c.uPct());
    }
    if (entry instanceof Entry.ProbeCare p) {
      return new Entry.ProbeCare(stamp, p.probe(), p.replaced());
    }
    return entry;
  }
}
