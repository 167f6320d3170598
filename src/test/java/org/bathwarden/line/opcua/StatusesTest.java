package org.bathwarden.line.opcua;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.stream.Stream;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Raw;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.signal.Quality.Reason;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UShort;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Status codes and types of OPC UA values. Source of the codes: OPC UA Part 6, as in the table. */
class StatusesTest {

  static Stream<ReferenceTable.Row> codes() {
    return ReferenceTable.load("opcua-status-codes.csv").stream();
  }

  @ParameterizedTest
  @MethodSource("codes")
  void everyStatusOfTheTableHasItsQuality(ReferenceTable.Row row) {
    long code = Long.decode(row.text("hex"));
    // The low 16 bits carry flags: here the limit bits and overflow.
    for (long flags : new long[] {0, 0x0480, 0x0780}) {
      Raw raw = Statuses.raw(value(60.5f, code | flags), Encoding.F32);
      switch (row.text("quality")) {
        case "good" -> assertEquals(Raw.good(60.5), raw);
        case "uncertain" -> assertTrue(raw instanceof Raw.Value v && v.uncertain());
        default -> assertTrue(raw instanceof Raw.Nothing);
      }
    }
    if (row.text("quality").equals("bad")) {
      String name = ((Raw.Nothing) Statuses.raw(value(1f, code), Encoding.F32)).detail();
      assertEquals(row.text("name"), name.replace("_", ""));
    }
  }

  @Test
  void aNodeThatIsNotThereIsMissingAndASensorThatFailedIsNot() {
    assertEquals(Reason.ITEM_MISSING, reason(value(1f, 0x80340000L), Encoding.F32));
    assertEquals(Reason.BAD_STATUS, reason(value(1f, 0x808C0000L), Encoding.F32));
    DataValue none = new DataValue(Variant.NULL_VALUE, new StatusCode(0x808C0000L));
    assertEquals(Reason.BAD_STATUS, reason(none, Encoding.F32));
    assertEquals(
        Reason.BAD_STATUS,
        reason(new DataValue(Variant.NULL_VALUE, StatusCode.GOOD), Encoding.F32));
  }

  @Test
  void anotherTypeIsNamedAsTheConfigurationNamesIt() {
    Raw raw = Statuses.raw(value(1f, 0), Encoding.F64);
    assertEquals(
        "type is f32 at the server, f64 in the configuration", ((Raw.Nothing) raw).detail());
  }

  private static Reason reason(DataValue value, Encoding encoding) {
    return ((Raw.Nothing) Statuses.raw(value, encoding)).reason();
  }

  private static DataValue value(Object value, long code) {
    return new DataValue(new Variant(value), new StatusCode(code));
  }

  @Test
  void onlyTheTypeOfTheContractIsAccepted() {
    assertEquals(Raw.good(65535), Statuses.raw(value(Unsigned.ushort(65535), 0), Encoding.U16));
    assertEquals(
        Raw.good(4294967295.0), Statuses.raw(value(Unsigned.uint(4294967295L), 0), Encoding.U32));
    assertEquals(Raw.good(1), Statuses.raw(value(true, 0), Encoding.BOOL));
    assertEquals(Reason.ITEM_MISSING, reason(value(1.0, 0), Encoding.F32));
    assertEquals(Reason.ITEM_MISSING, reason(value((short) 1, 0), Encoding.U16));
    assertEquals(Reason.ITEM_MISSING, reason(value(1, 0), Encoding.U32));
    assertEquals(Reason.ITEM_MISSING, reason(value("1", 0), Encoding.F32));
  }

  @Test
  void whatIsWrittenHasTheExactTypeAndNothingElse() {
    DataValue written = Statuses.toWrite(65535, Encoding.U16);
    assertEquals(UShort.valueOf(65535), written.getValue().getValue());
    assertNull(written.getSourceTime());
    assertNull(written.getServerTime());
    assertTrue(written.getStatusCode().isGood());
    assertEquals(60.5f, Statuses.toWrite(60.5, Encoding.F32).getValue().getValue());
  }
}
