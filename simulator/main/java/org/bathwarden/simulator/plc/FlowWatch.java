package org.bathwarden.simulator.plc;

/**
 * One product's flow and output against the PLC's own limits, whatever the controller asked for
 * (rule 9).
 */
final class FlowWatch {

  /** Fault bit 4: flow that nothing explains, or too much of it. */
  static final int FLOW_WITHOUT_ORDER = 1 << 4;

  /** Fault bit 5: an output did not drop. */
  static final int OUTPUT_NOT_DROPPED = 1 << 5;

  private static final int SCANS_PER_SECOND = 1000 / PlcTank.SCAN_MS;
  private static final double LARGEST_FLOW = 1.2;
  private static final long STRAY_ML = 50;

  private final PlcConfig.Supply supply;
  private final long[] lastSecondMl = new long[SCANS_PER_SECOND];
  private int at;
  private long strayMl;
  private int onWithoutCommandScans;

  FlowWatch(PlcConfig.Supply supply) {
    this.supply = supply;
  }

  /**
   * Judges one scan.
   *
   * @param flowMl what flowed in it
   * @param explained whether an open order or a panel run accounts for flow of this product
   * @param onWithoutCommand whether the output's feedback is on though nobody switched it on
   * @return fault bits to set
   */
  int scan(long flowMl, boolean explained, boolean onWithoutCommand) {
    int faults = 0;
    strayMl = explained ? 0 : strayMl + flowMl;
    if (strayMl > Math.max(STRAY_ML, 2L * supply.mlPerPulse())) {
      faults |= FLOW_WITHOUT_ORDER;
    }
    if (tooFast(flowMl)) {
      faults |= FLOW_WITHOUT_ORDER;
    }
    onWithoutCommandScans = onWithoutCommand ? onWithoutCommandScans + 1 : 0;
    // A contactor and a valve need a moment to drop; a second is generous for either.
    if (onWithoutCommandScans > SCANS_PER_SECOND) {
      faults |= FLOW_WITHOUT_ORDER | OUTPUT_NOT_DROPPED;
    }
    return faults;
  }

  /** A person at the panel has seen to it: the volume that raised the fault is forgotten. */
  void reset() {
    strayMl = 0;
    onWithoutCommandScans = 0;
  }

  private boolean tooFast(long flowMl) {
    at = (at + 1) % lastSecondMl.length;
    lastSecondMl[at] = flowMl;
    long sumMl = 0;
    for (long ml : lastSecondMl) {
      sumMl += ml;
    }
    // n pulses within a second prove no more than n - 1 pulse volumes of flow.
    return sumMl - supply.mlPerPulse() > LARGEST_FLOW * supply.ratedMlPerS();
  }
}
