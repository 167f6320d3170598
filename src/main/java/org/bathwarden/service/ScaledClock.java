package org.bathwarden.service;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.concurrent.locks.LockSupport;
import org.bathwarden.tank.Now;

/**
 * Time that runs faster than real time, for rehearsals: starts at the wall time, or at the last
 * steady time stored if that is later. A round begins every scaled second, or as soon after as the
 * line allows; missed ones are skipped.
 */
public final class ScaledClock extends Clock {

  private static final Duration PERIOD = Duration.ofSeconds(1);

  private final double speed;
  private final Instant start;
  private final long startNanos = System.nanoTime();
  private Instant next;

  /**
   * A clock.
   *
   * @param speed scaled seconds in a real one
   * @param notBefore last steady time stored
   */
  public ScaledClock(double speed, Instant notBefore) {
    this.speed = speed;
    Instant wall = Instant.now();
    this.start = wall.isBefore(notBefore) ? notBefore : wall;
    this.next = start.plus(PERIOD);
  }

  /** This moment, the same on both clocks. */
  public Now now() {
    return Now.at(instant());
  }

  /** Waits for the next round. */
  public Now tick() {
    while (instant().isBefore(next)) {
      long scaledNanos = Duration.between(instant(), next).toNanos();
      LockSupport.parkNanos(this, Math.max(1000, (long) (scaledNanos / speed)));
    }
    Instant now = instant();
    long late = Duration.between(next, now).toMillis() / PERIOD.toMillis();
    next = next.plus(PERIOD.multipliedBy(late + 1));
    return Now.at(now);
  }

  @Override
  public Instant instant() {
    return start.plusNanos((long) ((System.nanoTime() - startNanos) * speed));
  }

  @Override
  public ZoneId getZone() {
    return ZoneOffset.UTC;
  }

  @Override
  public Clock withZone(ZoneId zone) {
    return this;
  }
}
