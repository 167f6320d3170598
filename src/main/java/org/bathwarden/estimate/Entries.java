package org.bathwarden.estimate;

import java.util.Comparator;
import java.util.List;
import org.bathwarden.tank.Entry;

/** Lists of entries in the order in which they count. */
final class Entries {

  /** In order of time; of one moment the sample first, since a pour follows from its result. */
  static final Comparator<Entry> ORDER =
      Comparator.comparingLong(Bookings::fromMillis)
          .thenComparing(entry -> !(entry instanceof Entry.Titration))
          .thenComparing(entry -> entry.stamp().id());

  private Entries() {}

  /** Takes out what corrections call a mistake; returns when the earliest of it happened, ms. */
  static long withdraw(List<Entry> all, List<? extends Entry> more) {
    long earliest = Long.MAX_VALUE;
    for (Entry entry : more) {
      for (Entry other : List.copyOf(all)) {
        if (entry instanceof Entry.Correction c && c.entry().equals(other.stamp().id())) {
          all.remove(other);
          earliest = Math.min(earliest, other.stamp().happenedAt().toEpochMilli());
        }
      }
    }
    return earliest;
  }

  /** Whether one with the same id is in {@code all}. */
  static boolean contains(List<Entry> all, Entry entry) {
    for (Entry other : all) {
      if (other.stamp().id().equals(entry.stamp().id())) {
        return true;
      }
    }
    return false;
  }

  /** Entries that happened within {@code step}, its begin left out and its end included. */
  static List<Entry> within(List<Entry> entries, Step step) {
    int first = countUntil(entries, step.startMillis());
    int end = first;
    while (end < entries.size() && Bookings.fromMillis(entries.get(end)) <= step.endMillis()) {
      end++;
    }
    return first == end ? List.of() : entries.subList(first, end);
  }

  /** How many entries count from {@code millis} or before; they are in order of that time. */
  private static int countUntil(List<Entry> entries, long millis) {
    int low = 0;
    int high = entries.size();
    while (low < high) {
      int middle = (low + high) / 2;
      if (Bookings.fromMillis(entries.get(middle)) <= millis) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low;
  }
}
