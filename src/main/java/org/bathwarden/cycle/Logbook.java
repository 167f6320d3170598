package org.bathwarden.cycle;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.bathwarden.tank.Entry;

/**
 * What entries leave behind that no other part of a tank's state holds. Plain data.
 *
 * @param failed periodic check and number of failures since it last passed
 */
public record Logbook(Map<String, Integer> failed) {

  /** Nothing was entered yet. */
  public static final Logbook EMPTY = new Logbook(Map.of());

  /** Copies the map. */
  public Logbook {
    failed = Map.copyOf(failed);
  }

  Logbook after(List<Entry> entries) {
    Map<String, Integer> checks = new TreeMap<>(failed);
    for (Entry entry : entries) {
      if (entry instanceof Entry.QualityCheck check) {
        if (check.passed()) {
          checks.remove(check.check());
        } else {
          checks.merge(check.check(), 1, Integer::sum);
        }
      }
    }
    return new Logbook(checks);
  }

  boolean failedTwice() {
    return failed.values().stream().anyMatch(count -> count >= 2);
  }

  String failures() {
    return failed.entrySet().stream()
        .map(e -> e.getKey() + " failed " + e.getValue() + " in a row")
        .sorted()
        .collect(Collectors.joining(", "));
  }
}
