package org.bathwarden.line;

/**
 * CRC-16/MODBUS: polynomial 0xA001 reflected, begun with 0xFFFF. Source: MODBUS over Serial Line
 * V1.02, section 6.2.2 and appendix B.
 */
public final class Crc16 {

  private static final int BEGIN = 0xFFFF;

  private Crc16() {}

  /** The CRC of the first {@code length} bytes; on a serial line its low byte goes first. */
  public static int of(byte[] bytes, int length) {
    int crc = BEGIN;
    for (int i = 0; i < length; i++) {
      crc = feed(crc, bytes[i] & 0xFF);
    }
    return crc;
  }

  /** The CRC of 16-bit words, each high byte first. */
  static int ofWords(int... words) {
    int crc = BEGIN;
    for (int word : words) {
      crc = feed(feed(crc, (word >>> 8) & 0xFF), word & 0xFF);
    }
    return crc;
  }

  private static int feed(int crc, int octet) {
    int next = crc ^ octet;
    for (int bit = 0; bit < 8; bit++) {
      next = (next & 1) != 0 ? (next >>> 1) ^ 0xA001 : next >>> 1;
    }
    return next;
  }
}
