package org.bathwarden.line;

import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** What an adapter lends to the writing of one tank. Never throws, never repeats. */
public interface Wire {

  /**
   * Writes items, in one request where their places allow it.
   *
   * @param values in the order in which the PLC is to see them
   */
  Sent write(Map<Item, Long> values, Deadline by);

  /** Reads written items back; empty unless every one of them came back. */
  Optional<Map<Item, Long>> readBack(Set<Item> items, Deadline by);

  /** What became of one write. */
  enum Sent {
    /** The PLC confirmed it. */
    CONFIRMED,
    /** Nothing reached the wire. */
    NOT_SENT,
    /** It may have been applied, in part or whole. */
    UNKNOWN
  }
}
