package org.bathwarden.line;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/**
 * Keeps repeated errors from filling the log: each is said once until all is well again, then
 * counted, also where several take turns. Of one trouble at most {@link #KINDS_MAX} are said. For
 * one thread.
 */
public final class Repeats {

  /** Different errors said of one trouble. */
  static final int KINDS_MAX = 8;

  private final Map<String, Long> counts = new LinkedHashMap<>();
  private String last = "";
  private long others;

  /** What to log for {@code error}: nothing if it was said since all was well. */
  public Optional<String> failed(String error) {
    if (counts.containsKey(error)) {
      counts.merge(error, 1L, Long::sum);
      last = error;
      return Optional.empty();
    }
    if (counts.size() == KINDS_MAX) {
      others++;
      return Optional.empty();
    }
    long before = counts.getOrDefault(last, 0L);
    String text = error + (before > 1 ? " (before: " + last + ", " + before + " times)" : "");
    counts.put(error, 1L);
    last = error;
    return Optional.of(text);
  }

  /** What to log when all is well again: nothing if it was before. */
  public Optional<String> recovered() {
    if (counts.isEmpty()) {
      return Optional.empty();
    }
    long count = counts.getOrDefault(last, 0L);
    String text = last + ": over after " + count + (count == 1 ? " time" : " times");
    StringBuilder rest = new StringBuilder();
    counts.forEach(
        (error, times) -> {
          if (!error.equals(last) && times > 1) {
            rest.append(", ").append(error).append(' ').append(times).append(" times");
          }
        });
    if (others > 0) {
      rest.append(", others ").append(others).append(" times");
    }
    counts.clear();
    last = "";
    others = 0;
    return Optional.of(text + rest);
  }
}
