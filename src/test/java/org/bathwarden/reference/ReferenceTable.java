package org.bathwarden.reference;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;

/**
 * A published table as CSV: comment lines with {@code #} (what it is, source, tolerance), a line of
 * column names, then rows. Fields may be quoted as in RFC 4180, within one line. A table that is
 * missing, empty or ragged throws, so that a test on it cannot pass on nothing.
 *
 * @param name file name, for messages
 * @param comments the comment lines without their {@code #}
 * @param columns column names in file order
 * @param rows the rows in file order
 */
public record ReferenceTable(
    String name, List<String> comments, List<String> columns, List<Row> rows) {

  /** One field and the comma or end after it: quoted, with doubled quotes inside, or bare. */
  private static final Pattern FIELD = Pattern.compile("(?:\"((?:[^\"]|\"\")*)\"|([^\",]*))(,|$)");

  /**
   * Reads a table from the folder {@code reference} of the test resources.
   *
   * @param name file name, for example {@code ph-buffers.csv}
   */
  public static ReferenceTable load(String name) {
    try (InputStream in = ReferenceTable.class.getResourceAsStream("/reference/" + name)) {
      if (in == null) {
        throw new IllegalArgumentException("No table " + name + " in the test resources");
      }
      return parse(name, new String(in.readAllBytes(), UTF_8));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static ReferenceTable parse(String name, String text) {
    List<String> comments = new ArrayList<>();
    List<String> columns = new ArrayList<>();
    List<Row> rows = new ArrayList<>();
    List<String> lines = text.lines().toList();
    for (int i = 0; i < lines.size(); i++) {
      String line = lines.get(i);
      String place = name + " line " + (i + 1);
      if (line.startsWith("#")) {
        comments.add(line.substring(1).strip());
      } else if (line.isBlank()) {
        continue;
      } else if (columns.isEmpty()) {
        columns.addAll(fields(place, line));
      } else {
        rows.add(row(place, columns, fields(place, line)));
      }
    }
    if (rows.isEmpty() || new HashSet<>(columns).size() != columns.size()) {
      throw new IllegalArgumentException(name + " has no rows, or two columns of one name");
    }
    return new ReferenceTable(name, List.copyOf(comments), List.copyOf(columns), List.copyOf(rows));
  }

  private static Row row(String place, List<String> columns, List<String> fields) {
    if (fields.size() != columns.size()) {
      throw new IllegalArgumentException(
          place + ": " + fields.size() + " fields for " + columns.size() + " columns");
    }
    return new Row(place, List.copyOf(columns), fields);
  }

  private static List<String> fields(String place, String line) {
    List<String> fields = new ArrayList<>();
    Matcher field = FIELD.matcher(line);
    int at = 0;
    boolean more = true;
    while (more) {
      if (!field.find(at) || field.start() != at) {
        throw new IllegalArgumentException(place + ": bad quoting at column " + (at + 1));
      }
      fields.add(
          field.group(1) == null ? field.group(2).strip() : field.group(1).replace("\"\"", "\""));
      more = !field.group(3).isEmpty();
      at = field.end();
    }
    return List.copyOf(fields);
  }

  /** The rows, as a stream for {@code @MethodSource}. */
  public Stream<Row> stream() {
    return rows.stream();
  }

  /** The rows whose column holds exactly this text; throws if there is none. */
  public List<Row> where(String column, String text) {
    List<Row> found = rows.stream().filter(row -> row.text(column).equals(text)).toList();
    if (found.isEmpty()) {
      throw new IllegalArgumentException(name + " has no row with " + column + " = " + text);
    }
    return found;
  }

  /**
   * One row.
   *
   * @param place file and line, for messages
   * @param columns column names
   * @param fields one text for each column
   */
  public record Row(String place, List<String> columns, List<String> fields) {

    /** The text of a column; throws for a column that the table does not have. */
    public String text(String column) {
      int index = columns.indexOf(column);
      if (index < 0) {
        throw new IllegalArgumentException(
            place + ": no column " + column + ", there are " + columns);
      }
      return fields.get(index);
    }

    /** The number of a column; throws with the place if it is none. */
    public double number(String column) {
      String text = text(column);
      try {
        return Double.parseDouble(text);
      } catch (NumberFormatException e) {
        throw new IllegalArgumentException(place + ": " + column + " = " + text, e);
      }
    }

    /** Whether the column is empty in this row. */
    public boolean isBlank(String column) {
      return text(column).isBlank();
    }

    @Override
    public String toString() {
      return place + " " + fields;
    }
  }
}
