package org.bathwarden.face.mqtt;

import java.time.Duration;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;

/** Waits for a condition, in bounded time. */
final class Await {
  private static final Duration LONGEST = Duration.ofSeconds(60);

  private Await() {}

  static void until(String what, BooleanSupplier condition) {
    long end = System.nanoTime() + LONGEST.toNanos();
    while (!condition.getAsBoolean()) {
      if (System.nanoTime() - end > 0) {
        throw new AssertionError("not within " + LONGEST + ": " + what);
      }
      LockSupport.parkNanos(Duration.ofMillis(10).toNanos());
    }
  }
}
