package org.bathwarden.simulator;

import java.time.Duration;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * Drives simulated time from real time on a thread of its own. A lag of more than a second of real
 * time is not run as a burst but left out and counted.
 */
final class ScaledRun {

  private static final long PERIOD_NS = 10_000_000;
  private static final long MOST_CATCH_UP_NS = 1_000_000_000;

  private final Consumer<Duration> advance;
  private @Nullable Thread thread;
  private boolean running;
  private Duration skipped = Duration.ZERO;

  ScaledRun(Consumer<Duration> advance) {
    this.advance = advance;
  }

  synchronized void start(double speed) {
    if (!(speed > 0) || Double.isInfinite(speed)) {
      throw new IllegalArgumentException("speed must be above 0, is " + speed);
    }
    if (thread != null) {
      throw new IllegalStateException("already running");
    }
    running = true;
    Thread driver = new Thread(() -> drive(speed), "simulated-line");
    driver.setDaemon(true);
    thread = driver;
    driver.start();
  }

  void stop() {
    Thread driver;
    synchronized (this) {
      driver = thread;
      thread = null;
      running = false;
      notifyAll();
    }
    if (driver != null) {
      try {
        driver.join();
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  synchronized Duration skipped() {
    return skipped;
  }

  private void drive(double speed) {
    long lastNs = System.nanoTime();
    while (waitForPeriod()) {
      long nowNs = System.nanoTime();
      long elapsedNs = nowNs - lastNs;
      lastNs = nowNs;
      long runNs = Math.min(elapsedNs, MOST_CATCH_UP_NS);
      countSkipped(Duration.ofNanos((long) ((elapsedNs - runNs) * speed)));
      advance.accept(Duration.ofNanos((long) (runNs * speed)));
    }
  }

  private synchronized boolean waitForPeriod() {
    try {
      if (running) {
        wait(PERIOD_NS / 1_000_000);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      running = false;
    }
    return running;
  }

  private synchronized void countSkipped(Duration left) {
    skipped = skipped.plus(left);
  }
}
