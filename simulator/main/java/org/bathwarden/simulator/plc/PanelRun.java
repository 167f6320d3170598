package org.bathwarden.simulator.plc;

/**
 * Whether someone doses by hand: from the switch until it is off and nothing has flowed for 2 s
 * (rule 3).
 */
final class PanelRun {

  private static final long QUIET_MS = 2_000;

  private boolean active;
  private long lastSignMs;

  void scan(long nowMs, boolean switchedOn, boolean anyFlow) {
    if (switchedOn) {
      active = true;
    }
    if (switchedOn || anyFlow) {
      lastSignMs = nowMs;
    }
    if (active && nowMs - lastSignMs >= QUIET_MS) {
      active = false;
    }
  }

  boolean active() {
    return active;
  }
}
