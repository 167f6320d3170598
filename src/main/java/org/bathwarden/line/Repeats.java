package org.bathwarden.line;

import java.util.Optional;

/** Keeps a repeated error from filling the log: said once, then counted. For one thread. */
public final class Repeats {

  private String last = "";
  private long count;

  /** What to log for {@code error}: nothing if it is the one said last. */
  public Optional<String> failed(String error) {
    if (error.equals(last)) {
      count++;
      return Optional.empty();
    }
    String before = count > 1 ? " (before: " + last + ", " + count + " times)" : "";
    last = error;
    count = 1;
    return Optional.of(error + before);
  }

  /** What to log when all is well again: nothing if it was before. */
  public Optional<String> recovered() {
    if (count == 0) {
      return Optional.empty();
    }
    String text = last + ": over after " + count + (count == 1 ? " time" : " times");
    last = "";
    count = 0;
    return Optional.of(text);
  }
}
