package org.bathwarden.signal;

import java.time.Instant;

/**
 * One value of one point.
 *
 * @param value in the unit of its {@link Point}; NaN if the quality is bad
 * @param quality how far it can be trusted
 * @param at when it was read, on the steady clock
 */
public record Reading(double value, Quality quality, Instant at) {

  /** A good reading. */
  public static Reading good(double value, Instant at) {
    return new Reading(value, Quality.GOOD, at);
  }

  /** A reading that is no number, for {@code reason}. */
  public static Reading bad(Quality.Reason reason, Instant at) {
    return new Reading(Double.NaN, Quality.bad(reason), at);
  }

  /** The value if it is good, else NaN. */
  public double orNaN() {
    return quality.good() ? value : Double.NaN;
  }
}
