package org.bathwarden.record;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import org.sqlite.SQLiteConfig;

/** The little that every user of SQLite here needs. */
final class Sql {

  private static final int BUSY_TIMEOUT_MS = 2000;

  /** SQLITE_CORRUPT and SQLITE_NOTADB of SQLite's result codes. */
  private static final int CORRUPT = 11;

  private static final int NOT_A_DATABASE = 26;

  private Sql() {}

  /** Opens a file to write it; it is made if it is not there. */
  static Connection open(Path file) throws SQLException {
    return DriverManager.getConnection("jdbc:sqlite:" + file.toAbsolutePath());
  }

  /** Opens a file to look at it, also while another process writes it. */
  static Connection look(Path file) throws SQLException {
    SQLiteConfig config = new SQLiteConfig();
    config.setReadOnly(true);
    config.setBusyTimeout(BUSY_TIMEOUT_MS);
    return config.createConnection("jdbc:sqlite:" + file.toAbsolutePath());
  }

  static void run(Connection connection, String sql) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute(sql);
    }
  }

  static int update(Connection connection, String sql, Object... values) throws SQLException {
    try (PreparedStatement statement = connection.prepareStatement(sql)) {
      for (int i = 0; i < values.length; i++) {
        statement.setObject(i + 1, values[i]);
      }
      return statement.executeUpdate();
    }
  }

  /** The first number of the first row; 0 if there is none. */
  static long number(Connection connection, String sql) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(sql)) {
      return row.next() ? row.getLong(1) : 0;
    }
  }

  /** Whether SQLite found the file itself to be wrong, rather than the disk or its use. */
  static boolean damaged(SQLException e) {
    return e.getErrorCode() == CORRUPT || e.getErrorCode() == NOT_A_DATABASE;
  }
}
