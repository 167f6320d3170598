package org.bathwarden.tank;

import java.time.Duration;
import java.time.Instant;

/**
 * One moment on both clocks.
 *
 * @param steady moves only with the monotonic clock and starts at the wall time stored last; all
 *     durations, limits and expiries use it
 * @param wall what the wall clock shows; for stamps only
 */
public record Now(Instant steady, Instant wall) {

  /** The same moment on both clocks. */
  public static Now at(Instant instant) {
    return new Now(instant, instant);
  }

  /** This moment, later on both clocks by {@code duration}. */
  public Now plus(Duration duration) {
    return new Now(steady.plus(duration), wall.plus(duration));
  }
}
