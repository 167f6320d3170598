package org.bathwarden.simulator.plc;

import org.bathwarden.simulator.field.FieldSignals;

/**
 * A tank's terminals as the PLC program sees them in one scan.
 *
 * @param signals the floor's signals
 * @param permits permit bits, with the panel's key switch worked in
 * @param sensorFaults fault bits 0 to 3; a value that does not exist has its bit set
 */
record Inputs(FieldSignals signals, int permits, int sensorFaults) {

  private static final int KEY_SWITCH = 1;

  static Inputs of(FieldSignals signals, Panel panel) {
    int permits = panel.isKeyLocal() ? signals.permits() & ~KEY_SWITCH : signals.permits();
    int faults =
        (signals.sensorFaults() & 0b1111)
            | bitIfNaN(0, signals.levelL())
            | bitIfNaN(1, signals.temperatureC())
            | bitIfNaN(2, signals.conductivityMsCm())
            | bitIfNaN(3, signals.ph());
    return new Inputs(signals, permits & 0xFFFF, faults);
  }

  boolean keyLocal() {
    return (permits & KEY_SWITCH) == 0;
  }

  boolean levelBad() {
    return (sensorFaults & 1) != 0;
  }

  /** Permit bits 0 to 8 and {@link PermitWatch#LEVEL_GOOD}. */
  int good() {
    return (permits & 0x1FF) | (levelBad() ? 0 : PermitWatch.LEVEL_GOOD);
  }

  boolean atOrAbove(double highLevelL) {
    return signals.levelL() >= highLevelL;
  }

  boolean panelOn() {
    return signals.panelKind() != 0;
  }

  private static int bitIfNaN(int bit, double value) {
    return Double.isNaN(value) ? 1 << bit : 0;
  }
}
