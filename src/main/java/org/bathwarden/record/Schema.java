package org.bathwarden.record;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;

/** The tables, as a list of migrations: element n takes a store from version n to n + 1. */
final class Schema {

  /** What the header of a store of ours says: the letters BWDR. */
  static final int APPLICATION_ID = 0x42574452;

  /** First version with a chain over the events. */
  static final int CHAINED = 2;

  /** One step of a migration, inside its transaction. */
  interface Step {
    void run(Connection connection) throws SQLException;
  }

  static final List<Step> MIGRATIONS =
      List.of(
          sql( // Everything that happened, in order; never changed, never thinned.
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
                  + " body TEXT NOT NULL)"),
          all(
              sql(
                  // Of the event and all before it; see Chain.
                  "ALTER TABLE event ADD COLUMN hash BLOB"),
              Chain::tieAll,
              sql(
                  "CREATE TRIGGER event_not_changed BEFORE UPDATE ON event"
                      + " BEGIN SELECT RAISE(ABORT, 'an event is never changed'); END",
                  "CREATE TRIGGER event_not_removed BEFORE DELETE ON event"
                      + " BEGIN SELECT RAISE(ABORT, 'an event is never removed'); END",
                  // Why a state is not to be relied on; its next writing ends that.
                  "ALTER TABLE state ADD COLUMN doubt TEXT NOT NULL DEFAULT ''",
                  // The same for tanks of which no state is left.
                  "CREATE TABLE doubt(what TEXT PRIMARY KEY)",
                  "ALTER TABLE pass ADD COLUMN steady_ms INTEGER NOT NULL DEFAULT 0",
                  "UPDATE pass SET steady_ms = 1000 * CAST(strftime('%s', wall) AS INTEGER)",
                  "PRAGMA application_id = " + APPLICATION_ID)));

  private static Step sql(String... statements) {
    return connection -> {
      try (Statement statement = connection.createStatement()) {
        for (String sql : statements) {
          statement.execute(sql);
        }
      }
    };
  }

  private static Step all(Step... steps) {
    return connection -> {
      for (Step step : steps) {
        step.run(connection);
      }
    };
  }

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

  /** Brings the tables up to date, inside the transaction that is open. */
  static void bringUp(Connection connection) throws SQLException {
    for (int v = version(connection); v < MIGRATIONS.size(); v++) {
      MIGRATIONS.get(v).run(connection);
      Sql.run(connection, "PRAGMA user_version = " + (v + 1));
    }
  }

  /**
   * Refuses another program's database, which is left as it is.
   *
   * @throws RecordException if it is one
   */
  static void refuseForeign(Connection connection, Path file) throws SQLException, RecordException {
    long application = Sql.number(connection, "PRAGMA application_id");
    long tables = Sql.number(connection, "SELECT count(*) FROM sqlite_master");
    long events = Sql.number(connection, "SELECT count(*) FROM sqlite_master WHERE name = 'event'");
    boolean ours = tables == 0 || (events > 0 && version(connection) > 0);
    if ((application != 0 && application != APPLICATION_ID) || !ours) {
      throw new RecordException(
          "record "
              + file
              + ": is another program's database; nothing was changed; correct the path");
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
