package org.bathwarden.service;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.concurrent.locks.LockSupport;
import java.util.function.LongSupplier;
import org.bathwarden.tank.Now;

/**
 * Time that runs faster than real time, for rehearsals: starts at the wall time, or at the last
 * steady time stored if that is later. Rounds begin a scaled second's real time apart, or as soon
 * after as the line allows; missed ones are skipped. Any thread may ask for the time, one waits and
 * changes the speed.
 */
public final class ScaledClock extends Clock {

  private static final Duration PERIOD = Duration.ofSeconds(1);

  private final double ceiling;
  private final LongSupplier nanoTime;
  private final long periodNanos;
  private volatile Course course;
  private long nextNanos;
  private long missed;
  private Duration leftOut = Duration.ZERO;

  /**
   * From {@code at}, which is {@code nanos}, time runs {@code speed} times as fast as real time.
   */
  private record Course(Instant at, long nanos, double speed) {
    Instant at(long now) {
      return at.plusNanos((long) ((now - nanos) * speed));
    }
  }

  /**
   * A clock.
   *
   * @param speed scaled seconds in a real one, at most
   * @param notBefore last steady time stored
   */
  public ScaledClock(double speed, Instant notBefore) {
    this(speed, notBefore, Instant.now(), System::nanoTime);
  }

  ScaledClock(double speed, Instant notBefore, Instant wall, LongSupplier nanoTime) {
    this.ceiling = speed;
    this.nanoTime = nanoTime;
    this.periodNanos = (long) (PERIOD.toNanos() / speed);
    long now = nanoTime.getAsLong();
    this.course = new Course(wall.isBefore(notBefore) ? notBefore : wall, now, speed);
    this.nextNanos = now + periodNanos;
  }

  /** This moment, the same on both clocks. */
  public Now now() {
    return Now.at(instant());
  }

  /** Waits for the next round. */
  public Now tick() {
    while (nanoTime.getAsLong() - nextNanos < 0) {
      LockSupport.parkNanos(this, nextNanos - nanoTime.getAsLong());
    }
    long late = (nanoTime.getAsLong() - nextNanos) / periodNanos;
    missed += late;
    nextNanos += (late + 1) * periodNanos;
    return now();
  }

  /** Lets time run no faster than real time, or again as fast as it may; rounds go on as before. */
  public void realTime(boolean whether) {
    double speed = whether ? 1 : ceiling;
    if (course.speed() != speed) {
      long now = nanoTime.getAsLong();
      leftOut = leftOut();
      course = new Course(course.at(now), now, speed);
    }
  }

  /** Rounds skipped since the start because the ones before took too long. */
  public long missed() {
    return missed;
  }

  /** Scaled time by which this clock fell behind its speed in {@link #realTime}. */
  public Duration leftOut() {
    long real = nanoTime.getAsLong() - course.nanos();
    return leftOut.plusNanos((long) (real * (ceiling - course.speed())));
  }

  @Override
  public Instant instant() {
    return course.at(nanoTime.getAsLong());
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
