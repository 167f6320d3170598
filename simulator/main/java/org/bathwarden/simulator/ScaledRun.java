package org.bathwarden.simulator;

import java.time.Duration;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * Drives simulated time from real time on a thread of its own. A lag of more than a second of real
 * time is not run as a burst but left out and counted.
 */
final class ScaledRun {

  private static final long PERIOD_MS = 10;
  private static final long MOST_CATCH_UP_NS = 1_000_000_000;

  private final Consumer<Duration> advance;
  private @Nullable Driver driver;
  private Duration skipped = Duration.ZERO;

  private record Driver(Thread thread, CountDownLatch stop) {}

  ScaledRun(Consumer<Duration> advance) {
    this.advance = advance;
  }

  synchronized void start(double speed) {
    if (!(speed > 0) || Double.isInfinite(speed)) {
      throw new IllegalArgumentException("speed must be above 0, is " + speed);
    }
    if (driver != null) {
      throw new IllegalStateException("already running");
    }
    CountDownLatch stop = new CountDownLatch(1);
    Thread thread = new Thread(() -> drive(speed, stop), "simulated-line");
    thread.setDaemon(true);
    driver = new Driver(thread, stop);
    thread.start();
  }

  void stop() {
    Driver running;
    synchronized (this) {
      running = driver;
      driver = null;
    }
    if (running != null) {
      running.stop().countDown();
      try {
        running.thread().join();
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  synchronized Duration skipped() {
    return skipped;
  }

  private void drive(double speed, CountDownLatch stop) {
    long lastNs = System.nanoTime();
    try {
      while (!stop.await(PERIOD_MS, TimeUnit.MILLISECONDS)) {
        long nowNs = System.nanoTime();
        long elapsedNs = nowNs - lastNs;
        lastNs = nowNs;
        long runNs = Math.min(elapsedNs, MOST_CATCH_UP_NS);
        countSkipped(Duration.ofNanos((long) ((elapsedNs - runNs) * speed)));
        advance.accept(Duration.ofNanos((long) (runNs * speed)));
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private synchronized void countSkipped(Duration left) {
    skipped = skipped.plus(left);
  }
}
