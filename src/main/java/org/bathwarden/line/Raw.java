package org.bathwarden.line;

import org.bathwarden.signal.Quality;

/** What a read of one place brought, before scale, range and meaning. */
public sealed interface Raw {

  /** The reason or status in the words of the protocol; empty if there is nothing to say. */
  String detail();

  /**
   * A number.
   *
   * @param number as on the line
   * @param uncertain whether the server calls it uncertain
   * @param detail status in words
   */
  record Value(double number, boolean uncertain, String detail) implements Raw {}

  /**
   * No number.
   *
   * @param reason why
   * @param detail the protocol's words
   */
  record Nothing(Quality.Reason reason, String detail) implements Raw {}

  /** A good number. */
  static Raw good(double number) {
    return new Value(number, false, "");
  }
}
