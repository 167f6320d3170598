package org.bathwarden.simulator.plc;

/**
 * What flowed within the last 24 h, kept in minutes: a minute's flow leaves the sum 24 h after the
 * minute ended, so the sum never forgets too early.
 */
final class DailyVolume {

  private static final int MINUTES = 24 * 60 + 1;
  private static final long MINUTE_MS = 60_000;

  private final long[] minuteMl;
  private long minute;
  private long sumMl;

  DailyVolume() {
    minuteMl = new long[MINUTES];
  }

  private DailyVolume(DailyVolume other) {
    minuteMl = other.minuteMl.clone();
    minute = other.minute;
    sumMl = other.sumMl;
  }

  void add(long nowMs, long flowMl) {
    long target = nowMs / MINUTE_MS;
    // After a long stop every minute has expired; one turn of the ring clears them all.
    long from = Math.max(minute, target - MINUTES);
    for (long m = from + 1; m <= target; m++) {
      int slot = (int) (m % MINUTES);
      sumMl -= minuteMl[slot];
      minuteMl[slot] = 0;
    }
    minute = target;
    minuteMl[(int) (target % MINUTES)] += flowMl;
    sumMl += flowMl;
  }

  long sumMl() {
    return sumMl;
  }

  DailyVolume copy() {
    return new DailyVolume(this);
  }
}
