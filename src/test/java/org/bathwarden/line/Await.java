package org.bathwarden.line;

import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;

/** Waits for what another thread is about to do; fails after thirty seconds. */
public final class Await {

  private Await() {}

  public static void until(BooleanSupplier condition) {
    long end = System.nanoTime() + 30_000_000_000L;
    while (!condition.getAsBoolean()) {
      if (System.nanoTime() - end > 0) {
        throw new AssertionError("not within thirty seconds");
      }
      LockSupport.parkNanos(1_000_000);
    }
  }
}
