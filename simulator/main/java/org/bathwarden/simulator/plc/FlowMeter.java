package org.bathwarden.simulator.plc;

import org.bathwarden.simulator.field.FieldSignals;

/**
 * What flowed of one product in each scan: the meter's difference, or without a meter run time ×
 * rated flow (rule 11). Flow while the PLC was down is never seen: the first scan only takes the
 * reading.
 */
final class FlowMeter {

  private final Kind kind;
  private final PlcConfig config;
  private long readingMl;
  private double restMl;

  FlowMeter(Kind kind, PlcConfig config, FieldSignals atPowerUp) {
    this.kind = kind;
    this.config = config;
    this.readingMl = kind.meterMl(atPowerUp);
  }

  /** Whole mL since the scan before. */
  long scanMl(FieldSignals signals) {
    return config.metered() ? meteredMl(signals) : runTimeMl(signals);
  }

  private long meteredMl(FieldSignals signals) {
    long flowMl = Math.max(0, kind.meterMl(signals) - readingMl);
    readingMl = kind.meterMl(signals);
    return flowMl;
  }

  private long runTimeMl(FieldSignals signals) {
    if (kind.outputOn(signals)) {
      restMl += config.supply(kind).ratedMlPerS() * PlcTank.SCAN_MS / 1000.0;
    }
    long flowMl = (long) restMl;
    restMl -= flowMl;
    return flowMl;
  }
}
