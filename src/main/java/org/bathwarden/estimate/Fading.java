package org.bathwarden.estimate;

/**
 * How fast something is forgotten: exponentially over {@code lastingH} hours. Nearly every step is
 * one minute long, and what is left after a minute is kept at hand.
 */
final class Fading {

  private static final double MINUTE_H = 1 / 60.0;

  private final double lastingH;
  private final double afterMinute;

  Fading(double lastingH) {
    this.lastingH = lastingH;
    afterMinute = Math.exp(-MINUTE_H / lastingH);
  }

  /** The share that is left after {@code hours}. */
  double left(double hours) {
    return hours == MINUTE_H ? afterMinute : Math.exp(-hours / lastingH);
  }

  /** The share that is gone by then: the weight of what is new in a running mean. */
  double gone(double hours) {
    return 1 - left(hours);
  }
}
