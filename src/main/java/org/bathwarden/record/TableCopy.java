package org.bathwarden.record;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;

/** Copies the readable rows of one table of a damaged store. Columns are those of the target. */
final class TableCopy {

  private static final int ROWS_AT_ONCE = 512;

  /** Queries that may fail before what is left of a table is given up. */
  private static final int FAILURES_MAX = 20_000;

  private final Connection from;
  private final Connection to;
  private final String table;
  private final List<String> columns = new ArrayList<>();
  private final List<String> lost = new ArrayList<>();
  private int failures;
  private long lostFrom = -1;
  private long lostTo = -1;

  TableCopy(Connection from, Connection to, String table) throws SQLException {
    this.from = from;
    this.to = to;
    this.table = table;
    try (PreparedStatement info = to.prepareStatement("SELECT name FROM pragma_table_info(?)")) {
      info.setString(1, table);
      try (ResultSet row = info.executeQuery()) {
        while (row.next()) {
          columns.add(row.getString(1));
        }
      }
    }
  }

  /** Copies a table with row numbers, around the rows that cannot be read; says which. */
  List<String> byRow() throws SQLException {
    long last = last();
    for (long low = 0; low <= last; low += ROWS_AT_ONCE) {
      range(low, Math.min(last, low + ROWS_AT_ONCE - 1));
    }
    say();
    return lost;
  }

  /** The highest row number; where it cannot be read, the highest that can be met. */
  private long last() throws SQLException {
    try {
      return Sql.number(from, "SELECT max(rowid) FROM " + table);
    } catch (SQLException e) {
      refuseOther(e);
    }
    try {
      return Sql.number(from, "SELECT max(seq) FROM sqlite_sequence");
    } catch (SQLException e) {
      refuseOther(e);
      lost.add(table + ": nothing of it can be read");
      return -1;
    }
  }

  private void range(long low, long high) throws SQLException {
    if (failures < FAILURES_MAX) {
      try {
        copy(" WHERE rowid BETWEEN " + low + " AND " + high + " ORDER BY rowid");
        return;
      } catch (SQLException e) {
        refuseOther(e);
        failures++;
      }
    }
    if (low == high || failures >= FAILURES_MAX) {
      if (lostTo != low - 1) {
        say();
        lostFrom = low;
      }
      lostTo = high;
      return;
    }
    long middle = low + (high - low) / 2;
    range(low, middle);
    range(middle + 1, high);
  }

  private void say() {
    if (lostFrom >= 0) {
      lost.add(table + ": rows " + lostFrom + " to " + lostTo + " cannot be read");
    }
    lostFrom = -1;
    lostTo = -1;
  }

  /** Copies a table without row numbers from both ends up to the first damage. */
  List<String> byKey() throws SQLException {
    String key = table.equals("state") ? "tank, part" : "tank, steady_ms";
    String back = table.equals("state") ? "tank DESC, part DESC" : "tank DESC, steady_ms DESC";
    try {
      copy(" ORDER BY " + key);
    } catch (SQLException e) {
      refuseOther(e);
      try {
        copy(" ORDER BY " + back);
      } catch (SQLException again) {
        refuseOther(again);
      }
      lost.add(
          table
              + ": not all can be read, "
              + Sql.number(to, "SELECT count(*) FROM " + table)
              + " rows are kept");
    }
    return lost;
  }

  /** Copies the rows of a query one by one, so that those before a damage are kept. */
  private void copy(String where) throws SQLException {
    String names = String.join(", ", columns);
    String marks = "?, ".repeat(columns.size() - 1) + "?";
    try (PreparedStatement select =
            from.prepareStatement("SELECT " + names + " FROM " + table + where);
        PreparedStatement insert =
            to.prepareStatement(
                "INSERT OR IGNORE INTO " + table + "(" + names + ") VALUES (" + marks + ")");
        ResultSet row = select.executeQuery()) {
      while (row.next()) {
        for (int i = 1; i <= columns.size(); i++) {
          insert.setObject(i, row.getObject(i));
        }
        insert.executeUpdate();
      }
    }
  }

  private static void refuseOther(SQLException e) throws SQLException {
    if (!Sql.damaged(e)) {
      throw e;
    }
  }
}
