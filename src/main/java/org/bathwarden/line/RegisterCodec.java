package org.bathwarden.line;

/** Numbers to Modbus registers and back. Source of the float formats: IEEE 754-2019. */
public final class RegisterCodec {

  private RegisterCodec() {}

  /**
   * The number in the registers from {@code from} on.
   *
   * @param registers 16 bit each, at least {@code from + encoding.registers()} of them
   */
  public static double decode(int[] registers, int from, Encoding encoding, WordOrder order) {
    int count = encoding.registers();
    long bits = 0;
    for (int register : order.straighten(registers, from, count)) {
      bits = bits << 16 | register;
    }
    return switch (encoding) {
      case BOOL -> bits == 0 ? 0 : 1;
      case U16, U32 -> bits;
      case S16 -> (short) bits;
      case S32 -> (int) bits;
      case F32 -> Float.intBitsToFloat((int) bits);
      case F64 -> Double.longBitsToDouble(bits);
    };
  }

  /**
   * The registers of {@code number}, rounded to the nearest whole number where the encoding holds
   * no fractions.
   *
   * @param number one that {@link Encoding#holds}; others are cut to the low bits
   */
  public static int[] encode(double number, Encoding encoding, WordOrder order) {
    long bits =
        switch (encoding) {
          case F32 -> Float.floatToIntBits((float) number);
          case F64 -> Double.doubleToLongBits(number);
          case BOOL, U16, S16, U32, S32 -> Math.round(number);
        };
    int count = encoding.registers();
    int[] registers = new int[count];
    for (int i = count - 1; i >= 0; i--) {
      registers[i] = (int) (bits & 0xFFFF);
      bits >>>= 16;
    }
    // Each of the four orders is its own inverse.
    return order.straighten(registers, 0, count);
  }
}
