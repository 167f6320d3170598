package org.bathwarden.simulator.plc;

/** Type of one contract item: big-endian, high word first. */
public enum ItemType {
  /** Unsigned, 16 bits. */
  U16(1),
  /** Unsigned, 32 bits. */
  U32(2),
  /** IEEE 754 binary32. */
  F32(2);

  private final int registers;

  ItemType(int registers) {
    this.registers = registers;
  }

  /** Number of 16-bit registers that the item fills. */
  public int registers() {
    return registers;
  }

  /** The bits of {@code value} that fit the item; this is where counters wrap. */
  long wrap(long value) {
    return value & (registers == 1 ? 0xFFFFL : 0xFFFF_FFFFL);
  }

  void encode(long bits, int[] registersOut, int offset) {
    if (registers == 1) {
      registersOut[offset] = (int) (bits & 0xFFFF);
    } else {
      registersOut[offset] = (int) (bits >>> 16 & 0xFFFF);
      registersOut[offset + 1] = (int) (bits & 0xFFFF);
    }
  }
}
