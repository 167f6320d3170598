package org.bathwarden.line;

import java.time.Duration;

/**
 * How long to wait before the next attempt to connect: at once after the first failure, then
 * doubling from {@code first} to {@code cap}, each shortened by up to half at random so that many
 * clients do not come back in the same moment.
 *
 * @param first wait after the second failure in a row
 * @param cap longest wait
 */
public record Backoff(Duration first, Duration cap) {

  /**
   * The wait after {@code failures} failures in a row.
   *
   * @param random from 0 to 1, handed in
   */
  public Duration after(int failures, double random) {
    if (failures < 2) {
      return Duration.ZERO;
    }
    double doubled = first.toNanos() * Math.pow(2, Math.min(failures - 2, 40));
    double wait = Math.min(doubled, cap.toNanos());
    return Duration.ofNanos((long) (wait * (1 - random / 2)));
  }
}
