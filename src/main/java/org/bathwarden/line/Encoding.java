package org.bathwarden.line;

import java.util.Locale;

/** How a number is laid down in registers or in an OPC UA variable. */
public enum Encoding {
  /** Truth value: one register, 0 is false; OPC UA Boolean. */
  BOOL(1, 0, 1),
  /** Unsigned 16 bit; OPC UA UInt16. */
  U16(1, 0, 0xFFFF),
  /** Signed 16 bit, two's complement; OPC UA Int16. */
  S16(1, Short.MIN_VALUE, Short.MAX_VALUE),
  /** Unsigned 32 bit; OPC UA UInt32. */
  U32(2, 0, 0xFFFF_FFFFL),
  /** Signed 32 bit, two's complement; OPC UA Int32. */
  S32(2, Integer.MIN_VALUE, Integer.MAX_VALUE),
  /** IEEE 754 binary32; OPC UA Float. */
  F32(2, -Float.MAX_VALUE, Float.MAX_VALUE),
  /** IEEE 754 binary64; OPC UA Double. */
  F64(4, -Double.MAX_VALUE, Double.MAX_VALUE);

  private final int registers;
  private final double least;
  private final double greatest;

  Encoding(int registers, double least, double greatest) {
    this.registers = registers;
    this.least = least;
    this.greatest = greatest;
  }

  /** As a configuration says it. */
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** Registers it takes. */
  public int registers() {
    return registers;
  }

  /** Whether it holds fractions. */
  public boolean isFloat() {
    return this == F32 || this == F64;
  }

  /** Whether {@code number} can be laid down in it; NaN cannot. */
  public boolean holds(double number) {
    return number >= least && number <= greatest;
  }

  /** The encoding that the contract gives to an item of {@code type}. */
  public static Encoding of(Item.Type type) {
    return switch (type) {
      case U16 -> U16;
      case U32 -> U32;
      case F32 -> F32;
    };
  }
}
