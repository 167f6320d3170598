package org.bathwarden.simulator.physics;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;

/** Rows of a reference table; each file names its own source in its first lines. */
final class Reference {

  private Reference() {}

  /** The rows of {@code name}, by column. */
  static List<Map<String, String>> rows(String name) {
    List<String> lines;
    try (InputStream in =
        Objects.requireNonNull(Reference.class.getResourceAsStream("/reference/" + name), name)) {
      lines =
          new String(in.readAllBytes(), StandardCharsets.UTF_8)
              .lines()
              .filter(l -> !l.startsWith("#") && !l.isBlank())
              .toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    List<String> header = cells(lines.get(0));
    List<Map<String, String>> rows = new ArrayList<>();
    for (String line : lines.subList(1, lines.size())) {
      List<String> cells = cells(line);
      Map<String, String> row = new HashMap<>();
      for (int i = 0; i < header.size(); i++) {
        row.put(header.get(i), cells.get(i));
      }
      rows.add(row);
    }
    return rows;
  }

  /** The row of {@code name} whose {@code column} reads {@code value}. */
  static Map<String, String> row(String name, String column, String value) {
    return rows(name).stream().filter(r -> value.equals(r.get(column))).findFirst().orElseThrow();
  }

  /** A number of a row. */
  static double number(Map<String, String> row, String column) {
    return Double.parseDouble(Objects.requireNonNull(row.get(column), column));
  }

  private static List<String> cells(String line) {
    List<String> cells = new ArrayList<>();
    StringBuilder cell = new StringBuilder();
    boolean quoted = false;
    for (char c : line.toCharArray()) {
      if (c == '"') {
        quoted = !quoted;
      } else if (c == ',' && !quoted) {
        cells.add(cell.toString());
        cell.setLength(0);
      } else {
        cell.append(c);
      }
    }
    cells.add(cell.toString());
    return cells;
  }
}
