package org.bathwarden.simulator.plc;

/** The PLC's memory cells behind the items it shows. Values wrap at the width of their item. */
final class Cells {

  private final long[] bits = new long[FromPlc.values().length];

  long get(FromPlc item) {
    return bits[item.ordinal()];
  }

  void set(FromPlc item, long value) {
    bits[item.ordinal()] = item.type().wrap(value);
  }

  void set(FromPlc item, double value) {
    set(item, Float.floatToRawIntBits((float) value) & 0xFFFF_FFFFL);
  }

  void add(FromPlc item, long amount) {
    set(item, get(item) + amount);
  }

  /** Power-up: what is not retentive is gone. */
  void clearVolatile() {
    for (FromPlc item : FromPlc.values()) {
      if (!item.retentive()) {
        set(item, 0L);
      }
    }
  }

  Cells copy() {
    Cells copy = new Cells();
    System.arraycopy(bits, 0, copy.bits, 0, bits.length);
    return copy;
  }

  PlcImage image() {
    return new PlcImage(bits);
  }
}
