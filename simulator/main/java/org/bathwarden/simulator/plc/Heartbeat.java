package org.bathwarden.simulator.plc;

/**
 * The controller's heartbeat (rule 4): it counts only when it changes under the holder's epoch, and
 * is fresh for 5 s after it counted; at exactly 5 s it no longer is.
 */
final class Heartbeat {

  private static final long FRESH_MS = 5_000;

  private long copy;
  private boolean counted;
  private long countedAtMs;

  void scan(long nowMs, WrittenItems written, Cells cells) {
    long value = written.get(ToPlc.CONTROLLER_HEARTBEAT);
    boolean changed = value != copy;
    copy = value;
    long epoch = written.get(ToPlc.HEARTBEAT_EPOCH);
    if (changed && epoch != 0 && epoch == cells.get(FromPlc.HOLDER_EPOCH)) {
      counted = true;
      countedAtMs = nowMs;
      cells.set(FromPlc.HEARTBEAT_SEEN, value);
    }
  }

  boolean fresh(long nowMs) {
    return counted && nowMs - countedAtMs < FRESH_MS;
  }

  /** A new holder starts without a fresh heartbeat. */
  void die() {
    counted = false;
  }
}
