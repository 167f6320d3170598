package org.bathwarden.service;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.function.LongSupplier;
import org.bathwarden.tank.Now;

/**
 * Both clocks of the service: the wall clock as the machine shows it, and a steady one that starts
 * at the wall time, never before the last steady time stored, and then moves only with the
 * monotonic clock.
 */
public final class SteadyClock {

  private final Clock wall;
  private final LongSupplier nanoTime;
  private final Instant start;
  private final long startNanos;

  /**
   * A clock.
   *
   * @param wall the wall clock
   * @param nanoTime the monotonic clock, ns
   * @param notBefore last steady time stored
   */
  public SteadyClock(Clock wall, LongSupplier nanoTime, Instant notBefore) {
    this.wall = wall;
    this.nanoTime = nanoTime;
    this.startNanos = nanoTime.getAsLong();
    Instant shown = wall.instant();
    this.start = shown.isBefore(notBefore) ? notBefore : shown;
  }

  /** This moment. */
  public Now now() {
    return new Now(start.plusNanos(nanoTime.getAsLong() - startNanos), wall.instant());
  }

  /** How far the wall clock is ahead of the steady one at {@code now}. */
  public static Duration offset(Now now) {
    return Duration.between(now.steady(), now.wall());
  }
}
