package org.bathwarden.simulator.plc;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;

/** The table of steps in plc-steps.csv, by sequence. */
final class StepTable {

  record Pair(String key, String value) {}

  record Step(int line, int scans, List<Pair> inputs, List<Pair> expected, String why) {}

  private StepTable() {}

  static Map<String, List<Step>> read() {
    Map<String, List<Step>> sequences = new LinkedHashMap<>();
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(
                Objects.requireNonNull(StepTable.class.getResourceAsStream("/plc-steps.csv")),
                StandardCharsets.UTF_8))) {
      int line = 0;
      boolean header = true;
      for (String row = reader.readLine(); row != null; row = reader.readLine()) {
        line++;
        if (row.startsWith("#")) {
          continue;
        }
        if (header) {
          header = false;
          continue;
        }
        String[] cells = row.split(",", 5);
        sequences
            .computeIfAbsent(cells[0], name -> new ArrayList<>())
            .add(
                new Step(
                    line, Integer.parseInt(cells[1]), pairs(cells[2]), pairs(cells[3]), cells[4]));
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return sequences;
  }

  static List<Pair> pairs(String cell) {
    List<Pair> pairs = new ArrayList<>();
    for (String pair : cell.isBlank() ? new String[0] : cell.trim().split(" +")) {
      String[] parts = pair.split("=", 2);
      pairs.add(new Pair(parts[0], parts[1]));
    }
    return pairs;
  }
}
