package org.bathwarden.simulator.plc;

import java.util.Optional;
import org.bathwarden.simulator.field.FieldSignals;

/** What an order delivers, with what the contract ties to it. */
enum Kind {
  CONCENTRATE(1, 0b1101_1111, 100, FromPlc.CONCENTRATE_TOTAL_ML),
  WATER(2, 0b1110_1011, 1000, FromPlc.WATER_TOTAL_ML);

  private final int code;
  private final int neededPermits;
  private final long overrunMl;
  private final FromPlc total;

  Kind(int code, int neededPermits, long overrunMl, FromPlc total) {
    this.code = code;
    this.neededPermits = neededPermits;
    this.overrunMl = overrunMl;
    this.total = total;
  }

  static Optional<Kind> of(long code) {
    for (Kind kind : values()) {
      if (kind.code == code) {
        return Optional.of(kind);
      }
    }
    return Optional.empty();
  }

  int code() {
    return code;
  }

  /** Permit bits that must be 1 for this kind. */
  int neededPermits() {
    return neededPermits;
  }

  /** What may flow at most after an order's end, mL. */
  long overrunMl() {
    return overrunMl;
  }

  FromPlc total() {
    return total;
  }

  long meterMl(FieldSignals signals) {
    return this == CONCENTRATE ? signals.concentrateMl() : signals.waterMl();
  }

  boolean outputOn(FieldSignals signals) {
    return this == CONCENTRATE ? signals.concentrateRunning() : signals.waterOpen();
  }
}
