package org.bathwarden.line;

import java.util.EnumSet;
import java.util.Set;

/** Bits of {@code faults}; the ordinal is the bit number. */
public enum LineFault {
  /** The level transmitter. */
  LEVEL,
  /** The temperature sensor. */
  TEMPERATURE,
  /** The conductivity probe. */
  CONDUCTIVITY,
  /** The pH probe. */
  PH,
  /** Flow without an order. */
  FLOW_WITHOUT_ORDER,
  /** An output did not drop. */
  OUTPUT_DID_NOT_DROP,
  /** Someone doses by hand at the panel. */
  PANEL_RUN;

  /** The faults shown by the bits. */
  public static Set<LineFault> of(int bits) {
    EnumSet<LineFault> shown = EnumSet.noneOf(LineFault.class);
    for (LineFault fault : values()) {
      if ((bits & fault.bit()) != 0) {
        shown.add(fault);
      }
    }
    return shown;
  }

  /** Its bit. */
  public int bit() {
    return 1 << ordinal();
  }
}
