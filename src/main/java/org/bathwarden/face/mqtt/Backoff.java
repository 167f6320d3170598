package org.bathwarden.face.mqtt;

import java.time.Duration;
import java.util.random.RandomGenerator;

/** Waits between attempts: doubled after each failure up to a cap, then spread by ±25 %. */
final class Backoff {
  private static final double SPREAD = 0.25;

  private final Duration first;
  private final Duration longest;
  private final RandomGenerator random;
  private Duration next;

  Backoff(Duration first, Duration longest, RandomGenerator random) {
    this.first = first;
    this.longest = longest;
    this.random = random;
    this.next = first;
  }

  /** The wait after one more failure. */
  Duration afterFailure() {
    double factor = 1 + SPREAD * (2 * random.nextDouble() - 1);
    Duration wait = Duration.ofNanos((long) (next.toNanos() * factor));
    Duration doubled = next.multipliedBy(2);
    next = doubled.compareTo(longest) > 0 ? longest : doubled;
    return wait;
  }

  void success() {
    next = first;
  }
}
