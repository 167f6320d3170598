package org.bathwarden.simulator.plc;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.charset.StandardCharsets;
import java.util.Map;
import org.junit.jupiter.api.Test;

class Crc16Test {

  /** Source: reference/protocol-encodings.csv, CRC-16/MODBUS check value. */
  @Test
  void checkValueOfTheAlgorithm() {
    assertEquals(0x4B37, Crc16.of("123456789".getBytes(StandardCharsets.US_ASCII)));
  }

  /** Source: reference/protocol-encodings.csv, rows "02 07" and empty message. */
  @Test
  void shortMessages() {
    assertEquals(0x1241, Crc16.of(new byte[] {2, 7}));
    assertEquals(0xFFFF, Crc16.of(new byte[0]));
  }

  /** Source: line contract version 2, worked check. */
  @Test
  void workedCheckOfTheLineContract() {
    WrittenItems block =
        WrittenItems.CLEARED.with(
            Map.of(
                ToPlc.ORDER_KIND, 1L,
                ToPlc.ORDER_VOLUME_ML, 300L,
                ToPlc.ORDER_TIME_LIMIT_S, 60L,
                ToPlc.ORDER_NUMBER, 7L,
                ToPlc.ORDER_EPOCH, 17L,
                ToPlc.ORDER_BASIS, 1234L));
    assertEquals(0x1242, Crc16.ofOrder(1, block));
  }
}
