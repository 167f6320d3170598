package org.bathwarden.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ReferenceTableTest {

  @Test
  void commentsColumnsAndRowsAreToldApart() {
    ReferenceTable table = ReferenceTable.parse("t.csv", "# Source: X\n#\na,b\n1,-2.5e-3\n\n3,\n");
    assertEquals(List.of("Source: X", ""), table.comments());
    assertEquals(List.of("a", "b"), table.columns());
    assertEquals(-2.5e-3, table.rows().get(0).number("b"));
    assertTrue(table.rows().get(1).isBlank("b"));
    assertEquals("t.csv line 6 [3, ]", table.rows().get(1).toString());
  }

  /** RFC 4180, section 2, items 5 to 7: the quoted examples, without the one across lines. */
  @Test
  void quotesAreReadAsRfc4180Says() {
    ReferenceTable table =
        ReferenceTable.parse(
            "t.csv", "a,b,c\n\"aaa\",\"bbb\",\"ccc\"\nzzz,\"y, y\",xxx\naaa,\"b\"\"bb\",\"\"\n");
    assertEquals(List.of("aaa", "bbb", "ccc"), table.rows().get(0).fields());
    assertEquals(List.of("zzz", "y, y", "xxx"), table.rows().get(1).fields());
    assertEquals(List.of("aaa", "b\"bb", ""), table.rows().get(2).fields());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "# only a comment\n",
        "a,b\n",
        "a,b\n1\n",
        "a,b\n1,2,3\n",
        "a,a\n1,2\n",
        "a,b\n\"1,2\n",
        "a,b\n\"1\"x,2\n",
        "a,b\nx\"1\",2\n"
      })
  void aTableThatIsEmptyRaggedOrBadlyQuotedIsRefused(String text) {
    assertThrows(IllegalArgumentException.class, () -> ReferenceTable.parse("t.csv", text));
  }

  @Test
  void whatIsMissingIsNamed() {
    ReferenceTable table = ReferenceTable.parse("t.csv", "a,b\n1,x\n");
    assertTrue(message(() -> table.rows().get(0).text("c")).contains("t.csv line 2: no column c"));
    assertTrue(message(() -> table.rows().get(0).number("b")).contains("b = x"));
    assertTrue(message(() -> table.where("b", "y")).contains("no row with b = y"));
    assertTrue(message(() -> ReferenceTable.load("absent.csv")).contains("absent.csv"));
  }

  private static String message(Executable failing) {
    return String.valueOf(assertThrows(IllegalArgumentException.class, failing).getMessage());
  }
}
