package org.bathwarden.service;

import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.locks.LockSupport;
import org.bathwarden.tank.Now;

/**
 * Rounds at a fixed period of real time. Deadlines are absolute: a round that takes too long lets
 * the next ones fall out, never run as a burst. One thread waits; any thread may stop it.
 */
public final class WallPace implements Pace {

  private final SteadyClock clock;
  private final long periodNanos;
  private long nextNanos;
  private int overruns;
  private long missed;
  private volatile boolean stopped;

  /** Rounds every {@code period}, the first one at once. */
  public WallPace(SteadyClock clock, Duration period) {
    this.clock = clock;
    this.periodNanos = period.toNanos();
    this.nextNanos = System.nanoTime();
  }

  @Override
  public Optional<Now> awaitNext() {
    long late = System.nanoTime() - nextNanos;
    if (late > 0) {
      long skipped = late / periodNanos;
      missed += skipped;
      overruns = skipped > 0 ? overruns + 1 : 0;
      nextNanos += skipped * periodNanos;
    } else {
      overruns = 0;
    }
    while (!stopped && System.nanoTime() - nextNanos < 0) {
      LockSupport.parkNanos(this, nextNanos - System.nanoTime());
    }
    nextNanos += periodNanos;
    return stopped ? Optional.empty() : Optional.of(clock.now());
  }

  @Override
  public int overruns() {
    return overruns;
  }

  @Override
  public long missed() {
    return missed;
  }

  /** No more rounds begin. */
  public void stop() {
    stopped = true;
  }
}
