package org.bathwarden.record;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;

/** The tables, as a list of migrations: element n takes a store from version n to n + 1. */
final class Schema {

  static final List<List<String>> MIGRATIONS =
      List.of(
          List.of(
              // Everything that happened, in order; never changed, never thinned.
              "CREATE TABLE event(seq INTEGER PRIMARY KEY AUTOINCREMENT, tank TEXT NOT NULL,"
                  + " steady_ms INTEGER NOT NULL, wall TEXT NOT NULL, kind TEXT NOT NULL,"
                  + " body TEXT NOT NULL)",
              "CREATE INDEX event_by_tank ON event(tank, kind, seq)",
              // Events that the broker has not acknowledged yet.
              "CREATE TABLE outbox(seq INTEGER PRIMARY KEY REFERENCES event(seq))",
              // Ids of entries and requests, so that a repetition is known as one.
              "CREATE TABLE request(id TEXT PRIMARY KEY, wall TEXT NOT NULL)",
              "CREATE TABLE image(tank TEXT NOT NULL, steady_ms INTEGER NOT NULL, wall TEXT NOT NULL,"
                  + " body TEXT NOT NULL, PRIMARY KEY(tank, steady_ms)) WITHOUT ROWID",
              "CREATE TABLE estimate(tank TEXT NOT NULL, steady_ms INTEGER NOT NULL, wall TEXT NOT NULL,"
                  + " body TEXT NOT NULL, PRIMARY KEY(tank, steady_ms)) WITHOUT ROWID",
              // The last state of each tank, part by part.
              "CREATE TABLE state(tank TEXT NOT NULL, part TEXT NOT NULL, steady_ms INTEGER NOT NULL,"
                  + " wall TEXT NOT NULL, body BLOB NOT NULL, PRIMARY KEY(tank, part))"
                  + " WITHOUT ROWID",
              // Whole inputs of passes that decided something.
              "CREATE TABLE pass(seq INTEGER PRIMARY KEY AUTOINCREMENT, tank TEXT NOT NULL,"
                  + " wall TEXT NOT NULL, fingerprint TEXT NOT NULL, body BLOB NOT NULL)",
              "CREATE TABLE settings(fingerprint TEXT PRIMARY KEY, wall TEXT NOT NULL,"
                  + " body TEXT NOT NULL)"));

  private Schema() {}

  static int version(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet result = statement.executeQuery("PRAGMA user_version")) {
      return result.next() ? result.getInt(1) : 0;
    }
  }

  /**
   * Refuses a store that this program cannot read as it is.
   *
   * @throws RecordException if it is newer, or older and not yet brought up to date
   */
  static void refuseOther(Connection connection, Path file) throws SQLException, RecordException {
    int version = version(connection);
    refuseNewer(version, file);
    if (version < MIGRATIONS.size()) {
      throw new RecordException(
          "record "
              + file
              + ": is of version "
              + version
              + " or no record; the service brings an older one up to version "
              + MIGRATIONS.size()
              + " when it starts");
    }
  }

  static void refuseNewer(int version, Path file) throws RecordException {
    if (version > MIGRATIONS.size()) {
      throw new RecordException(
          "record "
              + file
              + ": is of version "
              + version
              + ", this program knows up to "
              + MIGRATIONS.size()
              + "; use the newer program");
    }
  }
}
