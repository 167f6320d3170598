package org.bathwarden.simulator.plc;

/** One consistent copy of what the PLC shows for one tank, made at the end of a scan. Immutable. */
public final class PlcImage {

  private final long[] bits;

  PlcImage(long[] bits) {
    this.bits = bits.clone();
  }

  /** The item's unsigned value; for a float its bit pattern. */
  public long get(FromPlc item) {
    return bits[item.ordinal()];
  }

  /** A float item's value, NaN where the measured value does not exist. */
  public float f32(FromPlc item) {
    return Float.intBitsToFloat((int) get(item));
  }

  /** The image as registers, offsets 0 to 43. */
  public int[] registers() {
    int[] out = new int[FromPlc.REGISTERS];
    for (FromPlc item : FromPlc.values()) {
      item.type().encode(get(item), out, item.offset());
    }
    return out;
  }

  /** The same image with one item replaced. */
  public PlcImage with(FromPlc item, long value) {
    PlcImage copy = new PlcImage(bits);
    copy.bits[item.ordinal()] = item.type().wrap(value);
    return copy;
  }
}
