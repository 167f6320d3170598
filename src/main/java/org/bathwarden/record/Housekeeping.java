package org.bathwarden.record;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Keeps the store within its bounds, a few rows at a time between rounds, on the writer's thread.
 * Time is that of the facts, so that it thins in scaled time as in real time. Never touches events
 * or settings. Freed pages are used again; the file does not shrink.
 */
final class Housekeeping {

  /** Rows of one table that go at once; few enough that no round waits long. */
  static final int ROWS_AT_ONCE = 200;

  /** The same for passes, which are large. */
  static final int PASSES_AT_ONCE = 10;

  /** One image and one estimate are left for each of these. */
  static final Duration BUCKET = Duration.ofMinutes(5);

  /** What is younger than this is never thinned for want of room: a start runs over it. */
  static final Duration YOUNGEST = Duration.ofHours(1);

  /** An event that no broker took for so long is no longer offered; it stays in the record. */
  static final Duration OFFERED = Duration.ofDays(30);

  /** Ids of requests, which live for a day at most, are forgotten after this. */
  static final Duration IDS = Duration.ofDays(60);

  private static final Duration EVERY = Duration.ofMinutes(1);
  private static final List<String> SERIES = List.of("image", "estimate");
  private static final Logger LOG = LoggerFactory.getLogger(Housekeeping.class);

  private final Path file;
  private final Retention retention;
  private final Map<String, Long> thinnedTo = new HashMap<>();
  private volatile Instant newest = Instant.MIN;
  private volatile Optional<String> room = Optional.empty();
  private Instant next = Instant.MIN;
  private boolean failing;

  Housekeeping(Path file, Retention retention) {
    this.file = file;
    this.retention = retention;
  }

  /** Time has come so far, steady clock. */
  void reached(Instant steady) {
    if (steady.isAfter(newest)) {
      newest = steady;
    }
  }

  /** What there is too little room for, in words; empty if there is enough. */
  Optional<String> shortOfRoom() {
    return room;
  }

  /** One short step, if one is due. */
  void step(Connection connection) {
    Instant now = newest;
    if (now.isBefore(next) || now.equals(Instant.MIN)) {
      return;
    }
    try {
      connection.setAutoCommit(false);
      boolean more = thin(connection, now);
      connection.commit();
      next = more ? now : now.plus(EVERY);
      failing = false;
    } catch (SQLException | IOException e) {
      next = now.plus(EVERY);
      rollBack(connection);
      if (!failing) {
        LOG.warn("record {}: could not be thinned: {}", file, e.getMessage());
      }
      failing = true;
    } finally {
      autoCommit(connection);
    }
  }

  private boolean thin(Connection connection, Instant now) throws SQLException, IOException {
    boolean more = false;
    for (String tank : tanks(connection)) {
      for (String table : SERIES) {
        more |= series(connection, table, tank, now);
      }
    }
    more |= passes(connection, now.minus(retention.passes())) == PASSES_AT_ONCE;
    ids(connection, now);
    Sql.update(
        connection,
        "DELETE FROM outbox WHERE seq IN (SELECT seq FROM (SELECT seq, steady_ms FROM outbox"
            + " JOIN event USING (seq) ORDER BY outbox.seq LIMIT ?) WHERE steady_ms < ?)",
        ROWS_AT_ONCE,
        now.minus(OFFERED).toEpochMilli());
    boolean overfull = bound(connection, now);
    return more || overfull;
  }

  private static List<String> tanks(Connection connection) throws SQLException {
    try (PreparedStatement select =
            connection.prepareStatement("SELECT DISTINCT tank FROM state ORDER BY tank");
        ResultSet row = select.executeQuery()) {
      List<String> tanks = new ArrayList<>();
      while (row.next()) {
        tanks.add(row.getString(1));
      }
      return tanks;
    }
  }

  private boolean series(Connection connection, String table, String tank, Instant now)
      throws SQLException {
    int old =
        Sql.update(
            connection,
            "DELETE FROM "
                + table
                + " WHERE tank = ? AND steady_ms IN (SELECT steady_ms FROM "
                + table
                + " WHERE tank = ? AND steady_ms < ? ORDER BY steady_ms LIMIT ?)",
            tank,
            tank,
            now.minus(retention.thinned()).toEpochMilli(),
            ROWS_AT_ONCE);
    // Whole buckets only: the first row of each stays.
    long bucket = BUCKET.toMillis();
    long until = now.minus(retention.full()).toEpochMilli() / bucket * bucket;
    long from = thinnedTo.getOrDefault(table + " " + tank, Long.MIN_VALUE);
    int between =
        Sql.update(
            connection,
            String.format(
                Locale.ROOT,
                "DELETE FROM %1$s WHERE tank = ? AND steady_ms IN (SELECT steady_ms FROM %1$s AS a"
                    + " WHERE tank = ? AND steady_ms >= ? AND steady_ms < ? AND EXISTS"
                    + " (SELECT 1 FROM %1$s AS b WHERE b.tank = a.tank AND b.steady_ms <"
                    + " a.steady_ms AND b.steady_ms >= a.steady_ms - a.steady_ms %% %2$d)"
                    + " ORDER BY steady_ms DESC LIMIT ?)",
                table,
                bucket),
            tank,
            tank,
            from,
            until,
            ROWS_AT_ONCE);
    if (between < ROWS_AT_ONCE) {
      thinnedTo.put(table + " " + tank, until);
    }
    return old == ROWS_AT_ONCE || between == ROWS_AT_ONCE;
  }

  private static int passes(Connection connection, Instant before) throws SQLException {
    return Sql.update(
        connection,
        "DELETE FROM pass WHERE seq IN (SELECT seq FROM (SELECT seq, steady_ms FROM pass"
            + " ORDER BY seq LIMIT ?) WHERE steady_ms < ?)",
        PASSES_AT_ONCE,
        before.toEpochMilli());
  }

  private static void ids(Connection connection, Instant now) throws SQLException {
    Sql.update(
        connection,
        "DELETE FROM request WHERE rowid IN (SELECT rowid FROM (SELECT rowid, wall FROM request"
            + " ORDER BY rowid LIMIT ?) WHERE wall < ?)",
        ROWS_AT_ONCE,
        now.minus(IDS).toString());
  }

  /** Where the limit is near, the oldest of what may be thinned goes; and it is said if none is. */
  private boolean bound(Connection connection, Instant now) throws SQLException, IOException {
    long used = used(connection);
    boolean more = false;
    if (used > retention.limitBytes() / 10 * 9) {
      Instant youngest = now.minus(YOUNGEST);
      more = passes(connection, youngest) == PASSES_AT_ONCE;
      for (String table : SERIES) {
        more = more || oldest(connection, table, youngest);
      }
    }
    room = words(used(connection), more, Files.getFileStore(file).getUsableSpace());
    return more;
  }

  /** Whether there may be more to remove. */
  private static boolean oldest(Connection connection, String table, Instant youngest)
      throws SQLException {
    boolean more = false;
    for (String tank : tanks(connection)) {
      int gone =
          Sql.update(
              connection,
              String.format(
                  Locale.ROOT,
                  "DELETE FROM %1$s WHERE tank = ? AND steady_ms IN (SELECT steady_ms FROM %1$s"
                      + " WHERE tank = ? AND steady_ms < ? ORDER BY steady_ms LIMIT ?)",
                  table),
              tank,
              tank,
              youngest.toEpochMilli(),
              ROWS_AT_ONCE);
      more |= gone == ROWS_AT_ONCE;
    }
    return more;
  }

  private Optional<String> words(long used, boolean more, long free) {
    if (used > retention.limitBytes() && !more) {
      return Optional.of(
          megabytes(used)
              + " of quality records, which are never removed; the limit is "
              + megabytes(retention.limitBytes()));
    }
    if (free < retention.reserveBytes()) {
      return Optional.of(
          megabytes(free)
              + " free on the disk of the record, wanted "
              + megabytes(retention.reserveBytes()));
    }
    return Optional.empty();
  }

  private static String megabytes(long bytes) {
    return (bytes >> 20) + " MB";
  }

  /** Bytes of the pages in use. */
  static long used(Connection connection) throws SQLException {
    long pages =
        Sql.number(connection, "PRAGMA page_count")
            - Sql.number(connection, "PRAGMA freelist_count");
    return pages * Sql.number(connection, "PRAGMA page_size");
  }

  private static void rollBack(Connection connection) {
    try {
      connection.rollback();
    } catch (SQLException e) {
      LOG.debug("rolling back", e);
    }
  }

  private static void autoCommit(Connection connection) {
    try {
      connection.setAutoCommit(true);
    } catch (SQLException e) {
      LOG.debug("ending a transaction", e);
    }
  }
}
