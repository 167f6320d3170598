package org.bathwarden.line;

import org.bathwarden.tank.Product;

/**
 * One dose order as it goes to the PLC.
 *
 * @param product what
 * @param volumeMl how much, mL
 * @param timeLimitS the PLC stops it after this time, s
 * @param number order number
 * @param epoch the writer's epoch
 * @param basis {@code plc_heartbeat} as last read
 */
public record OrderBlock(
    Product product, long volumeMl, int timeLimitS, long number, long epoch, int basis) {

  /**
   * {@code order_check}: CRC-16/MODBUS over tank number and contract values 3–11 in the default
   * layout, each high byte first. Source: Modbus over Serial Line V1.02, CRC generation.
   */
  public int check(int tankNumber) {
    return Crc16.ofWords(
        tankNumber,
        product.orderKind(),
        (int) (volumeMl >>> 16),
        (int) (volumeMl & 0xFFFF),
        timeLimitS,
        (int) (number >>> 16),
        (int) (number & 0xFFFF),
        (int) (epoch >>> 16),
        (int) (epoch & 0xFFFF),
        basis);
  }
}
