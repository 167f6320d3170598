package org.bathwarden.simulator.plc;

/**
 * Debounces permits (rule 3): a permit is lost when it was false for more than 100 ms within any
 * second, that is in two of the last ten scans; emergency stop and overflow float are lost at once.
 */
final class PermitWatch {

  /** Extra bit beside the contract's permits: the level is not declared bad. */
  static final int LEVEL_GOOD = 1 << 9;

  private static final int AT_ONCE = 1 << 1 | 1 << 6;
  private static final int SCANS_PER_SECOND = 1000 / PlcTank.SCAN_MS;

  private final int[] missing = new int[SCANS_PER_SECOND];
  private int at;

  void scan(int good) {
    at = (at + 1) % missing.length;
    missing[at] = ~good;
  }

  /** Whether any of {@code needed} is false in this very scan. */
  boolean missingNow(int needed) {
    return (missing[at] & needed) != 0;
  }

  /** Whether a running order that needs {@code needed} must stop. */
  boolean lost(int needed) {
    int once = 0;
    int more = 0;
    for (int bits : missing) {
      more |= once & bits;
      once |= bits;
    }
    return ((more | (missing[at] & AT_ONCE)) & needed) != 0;
  }
}
