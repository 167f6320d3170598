package org.bathwarden.cli.trace;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;

/** A small comma-separated file with a fixed header, read whole. */
final class CsvFile {

  private final Path file;
  private final List<String> columns;
  private final List<List<String>> rows = new ArrayList<>();
  private final List<Integer> lines = new ArrayList<>();

  /** Reads {@code file}, whose first line must be {@code header}. */
  CsvFile(Path file, String header) throws TraceProblem {
    this.file = file;
    columns = List.of(header.split(","));
    List<String> text;
    try {
      text = Files.readAllLines(file, StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new TraceProblem(file, "cannot be read as UTF-8 text: " + e);
    }
    String found = text.isEmpty() ? "" : text.get(0).replace("\uFEFF", "").strip();
    if (!found.equals(header)) {
      throw new TraceProblem(file, 1, "header is \"" + found + "\", allowed is \"" + header + "\"");
    }
    for (int i = 1; i < text.size(); i++) {
      if (!text.get(i).isBlank()) {
        add(text.get(i), i + 1);
      }
    }
  }

  private void add(String text, int line) throws TraceProblem {
    List<String> cells = split(text);
    if (cells.size() != columns.size()) {
      throw new TraceProblem(
          file, line, "has " + cells.size() + " cells, allowed are " + columns.size());
    }
    rows.add(cells);
    lines.add(line);
  }

  private static List<String> split(String text) {
    List<String> cells = new ArrayList<>();
    StringBuilder cell = new StringBuilder();
    boolean quoted = false;
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c == '"') {
        boolean doubled = quoted && i + 1 < text.length() && text.charAt(i + 1) == '"';
        if (doubled) {
          cell.append('"');
          i++;
        } else {
          quoted = !quoted;
        }
      } else if (c == ',' && !quoted) {
        cells.add(cell.toString().strip());
        cell.setLength(0);
      } else {
        cell.append(c);
      }
    }
    cells.add(cell.toString().strip());
    return cells;
  }

  int size() {
    return rows.size();
  }

  String cell(int row, String column) {
    return rows.get(row).get(columns.indexOf(column));
  }

  TraceProblem problem(int row, String what) {
    return new TraceProblem(file, lines.get(row), what);
  }

  /** The number in a cell; NaN if it is empty. */
  double numberOrNaN(int row, String column) throws TraceProblem {
    String cell = cell(row, column);
    if (cell.isEmpty()) {
      return Double.NaN;
    }
    try {
      return Double.parseDouble(cell);
    } catch (NumberFormatException e) {
      throw problem(
          row, column + " is \"" + cell + "\", allowed is a number with a dot, or nothing");
    }
  }

  Instant instant(int row, String column) throws TraceProblem {
    String cell = cell(row, column);
    try {
      return OffsetDateTime.parse(cell).toInstant();
    } catch (DateTimeException e) {
      throw problem(
          row,
          column
              + " is \""
              + cell
              + "\", allowed is ISO 8601 with an offset, as in "
              + "2026-02-02T06:00:00+01:00");
    }
  }
}
