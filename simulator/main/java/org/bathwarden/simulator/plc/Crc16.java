package org.bathwarden.simulator.plc;

/**
 * CRC-16/MODBUS: polynomial 0x8005 reflected, initial 0xFFFF, no final XOR. Source: Modbus over
 * Serial Line V1.02.
 */
public final class Crc16 {

  private Crc16() {}

  /** The CRC of a message; on a serial line its low byte goes first. */
  public static int of(byte[] message) {
    int crc = 0xFFFF;
    for (byte b : message) {
      crc ^= b & 0xFF;
      for (int bit = 0; bit < 8; bit++) {
        crc = (crc & 1) == 0 ? crc >>> 1 : crc >>> 1 ^ 0xA001;
      }
    }
    return crc;
  }

  /**
   * The contract's check: tank number, then the order block's registers 3 to 11, each high byte
   * first.
   */
  static int ofOrder(int tankNumber, WrittenItems written) {
    int[] registers = written.registers();
    int first = ToPlc.ORDER_KIND.offset();
    int end = ToPlc.ORDER_CHECK.offset();
    byte[] message = new byte[2 + 2 * (end - first)];
    put(message, 0, tankNumber);
    for (int i = first; i < end; i++) {
      put(message, 2 + 2 * (i - first), registers[i]);
    }
    return of(message);
  }

  private static void put(byte[] message, int at, int register) {
    message[at] = (byte) (register >>> 8);
    message[at + 1] = (byte) register;
  }
}
