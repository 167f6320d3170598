package org.bathwarden.line;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Locale;
import java.util.stream.Stream;
import org.bathwarden.reference.ReferenceTable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

/** Numbers in registers against the reference table of encodings (IEEE 754-2019, Modbus). */
class RegisterCodecTest {

  private static final ReferenceTable TABLE = ReferenceTable.load("protocol-encodings.csv");

  static Stream<ReferenceTable.Row> floats() {
    return TABLE.stream().filter(row -> row.text("item").startsWith("float32 "));
  }

  private static int[] registers(String hex) {
    return Arrays.stream(hex.strip().split(" ")).mapToInt(w -> Integer.parseInt(w, 16)).toArray();
  }

  @ParameterizedTest
  @MethodSource("floats")
  void aFloatInEachOfTheFourByteOrders(ReferenceTable.Row row) {
    float value = Float.parseFloat(row.text("item").substring("float32 ".length()));
    String[] columns = row.text("input").split(" / ");
    String[] results = row.text("result").split(" / ");
    assertEquals(4, results.length);
    for (int i = 0; i < 4; i++) {
      String[] words = columns[i].split(" ");
      WordOrder order = WordOrder.valueOf(words[words.length - 1].toUpperCase(Locale.ROOT));
      int[] registers = registers(results[i]);
      assertEquals(value, RegisterCodec.decode(registers, 0, Encoding.F32, order));
      assertArrayEquals(registers, RegisterCodec.encode(value, Encoding.F32, order));
    }
  }

  @Test
  void theTableHasFloats() {
    assertTrue(floats().count() >= 6);
  }

  static Stream<ReferenceTable.Row> words() {
    return TABLE.stream().filter(row -> row.text("item").startsWith("16-bit register "));
  }

  @ParameterizedTest
  @MethodSource("words")
  void aWordSignedOrUnsigned(ReferenceTable.Row row) {
    int value = Integer.parseInt(row.text("item").substring("16-bit register ".length()));
    int[] registers = registers(row.text("result"));
    Encoding encoding = value < 0 ? Encoding.S16 : Encoding.U16;
    assertEquals(value, RegisterCodec.decode(registers, 0, encoding, WordOrder.ABCD));
    assertArrayEquals(registers, RegisterCodec.encode(value, encoding, WordOrder.ABCD));
    assertEquals(
        value, RegisterCodec.decode(registers, 0, encoding, WordOrder.CDAB), "one word only");
  }

  @Test
  void aLongWordHighOrLowWordFirst() {
    ReferenceTable.Row row = TABLE.where("item", "32-bit integer 305419896").get(0);
    String[] results = row.text("result").split(" / ");
    assertEquals(
        305419896, RegisterCodec.decode(registers(results[0]), 0, Encoding.U32, WordOrder.ABCD));
    assertEquals(
        305419896, RegisterCodec.decode(registers(results[1]), 0, Encoding.S32, WordOrder.CDAB));
  }

  /** Two's complement and IEEE 754 limits, from memory. */
  @ParameterizedTest
  @CsvSource({
    "U32, FFFF FFFF, 4294967295",
    "S32, FFFF FFFF, -1",
    "S32, 8000 0000, -2147483648",
    "U16, FFFF, 65535",
    "BOOL, 0000, 0",
    "BOOL, 8000, 1",
    "F64, 3FF8 0000 0000 0000, 1.5",
    "F64, C024 0000 0000 0000, -10"
  })
  void limits(Encoding encoding, String hex, double value) {
    assertEquals(value, RegisterCodec.decode(registers(hex), 0, encoding, WordOrder.ABCD));
  }

  @ParameterizedTest
  @EnumSource(WordOrder.class)
  void whatIsLaidDownReadsBackInEachOrder(WordOrder order) {
    for (Encoding encoding : Encoding.values()) {
      int[] registers = RegisterCodec.encode(1, encoding, order);
      assertEquals(encoding.registers(), registers.length);
      assertEquals(1, RegisterCodec.decode(registers, 0, encoding, order), encoding.name());
    }
  }

  @Test
  void anEncodingHoldsItsRangeAndNoMore() {
    assertTrue(Encoding.U16.holds(65535) && Encoding.U32.holds(4294967295.0));
    assertTrue(Encoding.S16.holds(-32768));
    assertFalse(Encoding.U16.holds(65536) || Encoding.U16.holds(-1) || Encoding.S16.holds(32768));
    assertFalse(Encoding.U32.holds(4294967296.0) || Encoding.F32.holds(Double.NaN));
    assertFalse(Encoding.F32.holds(1e39));
  }
}
