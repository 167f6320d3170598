package org.bathwarden.simulator.plc;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.bathwarden.simulator.st.Program;
import org.junit.jupiter.api.Test;

/** The register map that the controls engineer imports says what all others say, item by item. */
class RegisterMapTest {

  private static final Pattern ROW =
      Pattern.compile("\\| (\\d+) \\| (\\w+) \\| (\\w+)([^|]*)\\|.*");

  /** {@code from_plc 8 concentrate_total_ml u32 yes}. */
  private static List<String> map() throws IOException {
    return Files.readAllLines(Path.of("deploy/plc/register-map.csv")).stream()
        .skip(1)
        .map(row -> row.split(",", 7))
        .map(cell -> String.join(" ", cell[0], cell[1], cell[2], cell[3], cell[5]))
        .toList();
  }

  @Test
  void itIsWhatTheSimulatorKeeps() throws IOException {
    Stream<String> from =
        Arrays.stream(FromPlc.values())
            .map(
                item ->
                    row("from_plc", item.offset(), item.itemName(), item.type(), item.retentive()));
    Stream<String> to =
        Arrays.stream(ToPlc.values())
            .map(item -> row("to_plc", item.offset(), item.itemName(), item.type(), false));
    assertEquals(Stream.concat(from, to).toList(), map());
  }

  @Test
  void itIsWhatTheContractSays() throws IOException {
    List<String> contract = new ArrayList<>();
    String direction = "";
    for (String line : Files.readAllLines(Path.of("deploy/line-contract.md"))) {
      if (line.startsWith("## ")) {
        direction = line.startsWith("## From") ? "from_plc" : "to_plc";
      }
      Matcher row = ROW.matcher(line);
      if (row.matches()) {
        String kept = row.group(4).contains("*r*") ? "yes" : "no";
        contract.add(String.join(" ", direction, row.group(1), row.group(2), row.group(3), kept));
      }
    }
    assertEquals(contract, map());
  }

  @Test
  void theStructuresOfTheTextHaveTheSameItemsInTheSameOrder() throws IOException {
    Program program = new Program(TextPlc.texts(), "BW_LINE");
    List<String> text = new ArrayList<>();
    program.fields("BW_FROM_PLC").forEach(field -> text.add("from_plc " + field));
    program.fields("BW_TO_PLC").forEach(field -> text.add("to_plc " + field));
    List<String> wanted =
        map().stream()
            .map(row -> row.split(" "))
            .map(cell -> cell[0] + " " + cell[2] + " " + plcType(cell[3]))
            .toList();
    assertEquals(wanted, text);
  }

  /** What is lost in a power cut is lost there too: exactly the retentive items are kept. */
  @Test
  void theTextKeepsTheRetentiveItems() throws IOException {
    List<String> kept =
        new Program(TextPlc.texts(), "BW_LINE")
            .fields("BW_KEPT").stream().map(field -> field.split(" ")[0]).toList();
    List<String> retentive =
        map().stream().filter(row -> row.endsWith(" yes")).map(row -> row.split(" ")[2]).toList();
    assertEquals(retentive, kept.subList(0, retentive.size()));
    assertEquals(
        List.of("order_kind", "fault_flow", "fault_output", "concentrate_day", "water_day"),
        kept.subList(retentive.size(), kept.size()));
  }

  private static String row(
      String direction, int offset, String name, ItemType type, boolean retentive) {
    String word = type.name().toLowerCase(Locale.ROOT);
    return String.join(
        " ", direction, Integer.toString(offset), name, word, retentive ? "yes" : "no");
  }

  private static String plcType(String type) {
    return switch (type) {
      case "u16" -> "UINT";
      case "u32" -> "UDINT";
      default -> "REAL";
    };
  }
}
