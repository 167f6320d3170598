package org.bathwarden.face;

import org.bathwarden.tank.Entry;

/**
 * An entry that somebody sent and that waits for the core's answer.
 *
 * @param entry what was asked
 * @param answerer takes the answer; may be called from any thread, never blocks
 */
public record Request(Entry entry, Answerer answerer) {

  /** Takes the answer to a request. */
  @FunctionalInterface
  public interface Answerer {
    /**
     * Answers.
     *
     * @param accepted whether it was carried out
     * @param text why not, or what was done
     */
    void answer(boolean accepted, String text);
  }

  /** Where faces put requests for the core. */
  @FunctionalInterface
  public interface Sink {
    /** Takes a request without blocking; false if there is no room. */
    boolean offer(Request request);
  }
}
