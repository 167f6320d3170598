package org.bathwarden.line.modbus;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.time.Duration;
import java.util.HexFormat;
import java.util.stream.Stream;
import org.bathwarden.line.Place.Table;
import org.bathwarden.reference.ReferenceTable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * What the master sends and takes on a plain socket against the published frames. Source: MODBUS
 * Application Protocol Specification V1.1b3, sections 6 and 7, as in reference/modbus-frames.csv.
 */
class ModbusFramesTest {

  private static final ReferenceTable TABLE = ReferenceTable.load("modbus-frames.csv");
  private static final int UNIT = 0x11;
  private static final int TRANSACTION = 0x1501;

  private final RawModbusSlave slave = new RawModbusSlave();
  private final ModbusSession session = open();

  private ModbusSession open() {
    try {
      return ModbusSession.open(
          new ModbusRoute.Tcp("127.0.0.1", slave.port()),
          Duration.ofSeconds(10),
          System::nanoTime,
          () -> TRANSACTION);
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  @AfterEach
  void close() {
    session.close();
    slave.close();
  }

  private static long soon() {
    return System.nanoTime() + Duration.ofSeconds(10).toNanos();
  }

  private static byte[] bytes(ReferenceTable.Row row, String column) {
    return HexFormat.ofDelimiter(" ").parseHex(row.text(column));
  }

  private static ReferenceTable.Row row(String function) {
    return TABLE.where("function", function).get(0);
  }

  /** The slave gives the published answer, whatever it is asked. */
  private void answers(ReferenceTable.Row row) {
    byte[] pdu = bytes(row, "response_pdu");
    slave.script((request, connection) -> connection.send(request.reply(pdu)));
  }

  /** The request that went out is the published one, in a frame of Modbus TCP. */
  private void assertSent(ReferenceTable.Row row) {
    assertEquals(1, slave.requests.size());
    RawModbusSlave.Request sent = slave.requests.get(0);
    assertArrayEquals(bytes(row, "request_pdu"), sent.pdu);
    assertEquals(UNIT, sent.unit);
    assertEquals(TRANSACTION, sent.transaction);
    assertEquals(0, sent.protocol);
  }

  @Test
  void holdingRegistersAreReadByThePublishedFrames() throws ModbusFault {
    answers(row("03"));
    assertArrayEquals(
        new int[] {0x022B, 0x0000, 0x0064}, session.read(Table.HOLDING, UNIT, 0x6B, 3, soon()));
    assertSent(row("03"));
  }

  @Test
  void inputRegistersAreReadByThePublishedFrames() throws ModbusFault {
    answers(row("04"));
    assertArrayEquals(new int[] {0x000A}, session.read(Table.INPUT, UNIT, 8, 1, soon()));
    assertSent(row("04"));
  }

  @Test
  void registersAreWrittenByThePublishedFrames() throws ModbusFault {
    answers(row("16 (10)"));
    session.write(UNIT, 1, new int[] {0x000A, 0x0102}, soon());
    assertSent(row("16 (10)"));
    assertTrue(session.answered());
  }

  /** Section 6.12: the answer to a write repeats its place and its length. */
  @Test
  void theAnswerToAnotherWriteIsNotTaken() {
    answers(row("16 (10)"));
    ModbusFault fault =
        assertThrows(
            ModbusFault.class, () -> session.write(UNIT, 2, new int[] {0x000A, 0x0102}, soon()));
    assertEquals(ModbusFault.Kind.NO_ANSWER, fault.kind());
  }

  static Stream<ReferenceTable.Row> answersToOthers() {
    return TABLE.stream().filter(row -> !row.text("function").equals("03"));
  }

  /** The published answers and the exception to other functions answer no read of registers. */
  @ParameterizedTest
  @MethodSource("answersToOthers")
  void thePublishedAnswerToAnotherFunctionIsNotTaken(ReferenceTable.Row row) {
    answers(row);
    ModbusFault fault =
        assertThrows(ModbusFault.class, () -> session.read(Table.HOLDING, UNIT, 0x6B, 3, soon()));
    assertEquals(ModbusFault.Kind.NO_ANSWER, fault.kind(), fault.why());
  }

  /**
   * Section 7: the code of an exception is that of the request plus 0x80, here 03 + 80, then 02.
   */
  @Test
  void theExceptionToTheSameFunctionIsAnAnswer() {
    byte[] toCoils = bytes(row("01 exception"), "response_pdu");
    byte[] toHolding = {(byte) (toCoils[0] + 2), toCoils[1]};
    slave.script((request, connection) -> connection.send(request.reply(toHolding)));
    ModbusFault fault =
        assertThrows(ModbusFault.class, () -> session.read(Table.HOLDING, UNIT, 0x6B, 3, soon()));
    assertEquals(ModbusFault.Kind.REFUSED, fault.kind());
    assertEquals("exception 2: illegal data address", fault.why());
  }

  @Test
  void theTableHoldsWhatIsTestedHere() {
    assertEquals(9, answersToOthers().count());
  }
}
