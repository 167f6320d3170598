package org.bathwarden.simulator.wire;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.ToPlc;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Request and reply PDUs. Sources: reference/modbus-frames.csv and modbus-exceptions.csv (MODBUS
 * Application Protocol Specification V1.1b3), and the layout of the line contract.
 */
class ModbusAnswerTest {

  private final FakeMemory memory = new FakeMemory();
  private final WireCounter counter = new WireCounter();
  private final ModbusAnswer answer =
      new ModbusAnswer(new Served(Protocol.MODBUS, memory, counter, new WireFaults()));

  @Test
  void readsInputRegister9AsTheSpecificationShows() {
    memory.show(0, FromPlc.CONCENTRATE_TOTAL_ML, 0x000A_0000L);
    assertFrame("04");
  }

  @Test
  void readsHoldingRegisters108To110AsTheSpecificationShows() {
    memory.write(1, Map.of(ToPlc.ORDER_NUMBER, 0x022B_0000L, ToPlc.ORDER_EPOCH, 0x0064_0000L));
    assertFrame("03");
  }

  @Test
  void writesRegisters2And3AsTheSpecificationShows() {
    assertFrame("16 (10)");
    assertEquals(0x000A_0102L, memory.written(0).get(ToPlc.HEARTBEAT_EPOCH));
  }

  @ParameterizedTest
  @ValueSource(strings = {"01", "02", "05", "15 (0F)", "22 (16)"})
  void otherFunctionsOfTheSpecificationGetIllegalFunction(String function) {
    byte[] request = Csv.bytes(frame(function).get(2));
    assertReply(request[0], exceptionCode("illegal function"), answer.to(1, request));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "06 00 00 00 01",
        "17 00 00 00 01 00 00 00 01 02 00 01",
        "07",
        "2B 0E 01 00",
        "65 00"
      })
  void noFunctionButThreeFourAndSixteenExists(String request) {
    byte[] pdu = Csv.bytes(request);
    assertReply(pdu[0], exceptionCode("illegal function"), answer.to(1, pdu));
    assertArrayEquals(new int[ToPlc.REGISTERS], memory.written(0).registers());
  }

  /** Offset and quantity of a 16, and whether it keeps the contract's layout. */
  @ParameterizedTest
  @CsvSource({
    "0, 3, true", "0, 21, true", "3, 10, true", "13, 2, true", "15, 2, true", "17, 4, true",
    "19, 2, true", "1, 2, true", "11, 1, true", "0, 1, false", "0, 2, false", "1, 1, false",
    "2, 1, false", "4, 1, false", "3, 2, false", "14, 1, false", "0, 14, false", "19, 3, false",
    "20, 1, false", "21, 1, false", "0, 22, false", "20, 81, false", "99, 2, false"
  })
  void sixteenTakesWholeItemsOnly(int offset, int quantity, boolean kept) {
    for (int base : new int[] {0, 100}) {
      byte[] reply = answer.to(1, write(base + offset, quantity));
      int tank = base / 100;
      if (kept) {
        assertEquals(16, reply[0]);
        int[] registers = memory.written(tank).registers();
        for (int i = 0; i < ToPlc.REGISTERS; i++) {
          boolean inside = i >= offset && i < offset + quantity;
          assertEquals(inside ? 0x0101 + i - offset : 0, registers[i], "register " + i);
        }
      } else {
        assertReply(16, exceptionCode("illegal data address"), reply);
        assertArrayEquals(new int[ToPlc.REGISTERS], memory.written(tank).registers());
      }
    }
  }

  @ParameterizedTest
  @CsvSource({
    "04, 0, 44, true", "04, 43, 1, true", "04, 0, 45, false", "04, 44, 1, false",
    "04, 100, 44, true", "04, 143, 2, false", "04, 200, 1, false", "04, 65535, 1, false",
    "03, 0, 21, true", "03, 20, 2, false", "03, 121, 1, false", "03, 43, 1, false"
  })
  void readsStayInsideTheImage(int function, int address, int quantity, boolean inside) {
    byte[] reply = answer.to(1, pdu(function, address, quantity));
    if (inside) {
      assertEquals(2 + 2 * quantity, reply.length);
    } else {
      assertReply(function, exceptionCode("illegal data address"), reply);
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "04 00 00 00 00",
        "04 00 00 00 7E",
        "04 00 00",
        "03 00 00 00 01 00",
        "10 00 00 00 03 05 00 00 00 00 00",
        "10 00 00 00 03 06 00 00 00 00 00",
        "10 00 00 00 00 00",
        "10 00"
      })
  void quantitiesAndLengthsThatAreWrongGetIllegalValue(String request) {
    byte[] pdu = Csv.bytes(request);
    assertReply(pdu[0], exceptionCode("illegal data value"), answer.to(1, pdu));
  }

  @Test
  void anotherUnitIsATargetThatDoesNotRespond() {
    byte[] reply = answer.to(2, pdu(4, 0, 1));
    assertReply(4, exceptionCode("gateway target device failed to respond"), reply);
    answer.to(0, write(0, 3));
    assertArrayEquals(new int[ToPlc.REGISTERS], memory.written(0).registers());
  }

  @Test
  void everyRequestThatWouldWriteIsCounted() {
    answer.to(1, pdu(4, 0, 44));
    answer.to(1, pdu(3, 100, 2));
    assertEquals(0, counter.writes());
    assertEquals(1, counter.reads(Protocol.MODBUS, 0));
    assertEquals(1, counter.reads(Protocol.MODBUS, 1));
    answer.to(1, write(100, 3));
    answer.to(1, write(100, 1));
    answer.to(1, Csv.bytes("06 00 64 00 01"));
    answer.to(9, write(300, 3));
    assertEquals(3, counter.writes(1));
    assertEquals(1, counter.writes(Protocol.MODBUS, WireCounter.NO_TANK));
    assertEquals(4, counter.writes());
  }

  private void assertFrame(String function) {
    List<String> frame = frame(function);
    HexFormat hex = HexFormat.ofDelimiter(" ").withUpperCase();
    assertEquals(frame.get(3), hex.formatHex(answer.to(1, Csv.bytes(frame.get(2)))));
  }

  private static List<String> frame(String function) {
    return Csv.rows("modbus-frames.csv").stream()
        .filter(row -> row.get(0).equals(function))
        .findFirst()
        .orElseThrow();
  }

  private static int exceptionCode(String name) {
    return Csv.rows("modbus-exceptions.csv").stream()
        .filter(row -> row.get(1).equals(name))
        .mapToInt(row -> Integer.parseInt(row.get(0), 16))
        .findFirst()
        .orElseThrow();
  }

  private static void assertReply(int function, int code, byte[] reply) {
    assertArrayEquals(new byte[] {(byte) (function | 0x80), (byte) code}, reply);
  }

  private static byte[] pdu(int function, int address, int quantity) {
    return new byte[] {
      (byte) function,
      (byte) (address >> 8),
      (byte) address,
      (byte) (quantity >> 8),
      (byte) quantity
    };
  }

  /** A 16 whose registers hold 0x0101, 0x0102 and so on. */
  private static byte[] write(int address, int quantity) {
    byte[] out = new byte[6 + 2 * quantity];
    System.arraycopy(pdu(16, address, quantity), 0, out, 0, 5);
    out[5] = (byte) (2 * quantity);
    for (int i = 0; i < quantity; i++) {
      out[6 + 2 * i] = 1;
      out[7 + 2 * i] = (byte) (1 + i);
    }
    return out;
  }
}
