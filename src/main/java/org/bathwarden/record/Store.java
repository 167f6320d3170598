package org.bathwarden.record;

import java.io.IOException;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One SQLite file, opened by one process, written by one thread.
 *
 * <p>Write-ahead log with full sync: a round that was reported durable survives a killed process
 * and a lost power supply. Every connection here belongs to one thread at a time.
 */
final class Store implements AutoCloseable {

  /** Rounds that may wait for the disk; more are refused, which the caller sees as a failure. */
  static final int ROUNDS_WAITING_MAX = 64;

  /** The write-ahead log keeps at most so many bytes once it was copied into the store. */
  static final long LOG_BYTES_MAX = 16L << 20;

  private static final Logger LOG = LoggerFactory.getLogger(Store.class);

  private final Path file;
  private final LockFile lock;
  private final Connection writing;
  private final Connection reading;
  private final ThreadPoolExecutor writer;
  private final Housekeeping housekeeping;
  private long failures;
  private long noted = 1;

  /** One change to the store, run inside the round's transaction. */
  interface Change {
    void apply(Connection connection) throws SQLException;
  }

  /** A query, run on the reading connection. */
  interface Query<T> {
    T run(Connection connection) throws SQLException;
  }

  /**
   * Opens, or makes, the store.
   *
   * @param wall now, wall time; stands in the name and the note of a damaged store
   * @throws RecordException if another process has it, if it is not ours, or of a newer version;
   *     the message names the file and the remedy
   */
  static Store open(Path file, Retention retention, Instant wall) throws RecordException {
    Path absolute = file.toAbsolutePath();
    Opening.Opened opened = Opening.open(absolute, wall);
    try {
      return new Store(absolute, opened, retention);
    } catch (SQLException e) {
      throw new RecordException("record " + file + ": cannot be opened (" + e + ")", e);
    }
  }

  private Store(Path file, Opening.Opened opened, Retention retention) throws SQLException {
    this.housekeeping = new Housekeeping(file, retention);
    this.file = file;
    this.lock = opened.lock();
    this.writing = opened.writing();
    this.reading = connect(file);
    this.writer =
        new ThreadPoolExecutor(
            1,
            1,
            0,
            TimeUnit.SECONDS,
            new ArrayBlockingQueue<>(ROUNDS_WAITING_MAX),
            task -> new Thread(task, "record-writer"),
            new ThreadPoolExecutor.AbortPolicy());
  }

  static Connection connect(Path file) throws SQLException {
    Connection connection = Sql.open(file);
    try (Statement statement = connection.createStatement()) {
      statement.execute("PRAGMA busy_timeout = 2000");
      try (ResultSet mode = statement.executeQuery("PRAGMA journal_mode = WAL")) {
        mode.next();
      }
      statement.execute("PRAGMA synchronous = FULL");
      statement.execute("PRAGMA foreign_keys = ON");
      // A log that grew behind a long reader, such as a backup, is cut back.
      statement.execute("PRAGMA journal_size_limit = " + LOG_BYTES_MAX);
    }
    return connection;
  }

  Housekeeping housekeeping() {
    return housekeeping;
  }

  /** Puts a round in the queue of the writer; all of it is written, or nothing. */
  Commit write(List<Change> round) {
    CompletableFuture<Commit.Durable> done = new CompletableFuture<>();
    try {
      writer.execute(
          () -> {
            try {
              done.complete(transact(round));
              housekeeping.step(writing);
            } finally {
              done.complete(Commit.Durable.FAILED);
            }
          });
    } catch (RejectedExecutionException e) {
      done.complete(Commit.Durable.FAILED);
    }
    return new Commit(done);
  }

  private Commit.Durable transact(List<Change> round) {
    boolean committed = false;
    try {
      execute("BEGIN IMMEDIATE");
      for (Change change : round) {
        change.apply(writing);
      }
      execute("COMMIT");
      committed = true;
      noteNewest();
      if (failures > 0) {
        LOG.info("record: writing again after {} failed rounds", failures);
        failures = 0;
      }
      return Commit.Durable.DURABLE;
    } catch (SQLException | RuntimeException e) {
      if (failures++ == 0) {
        LOG.error("record {}: a round could not be written", file, e);
      }
      return Commit.Durable.FAILED;
    } finally {
      if (!committed) {
        // Whatever ended the round, nothing of it may become part of the next one.
        rollBack();
      }
    }
  }

  private void noteNewest() {
    try {
      Chain.End end = Chain.End.of(writing);
      if (end.nextSeq() != noted) {
        noted = end.nextSeq();
        lock.note(noted - 1, end.hash());
      }
    } catch (SQLException | IOException e) {
      // Without it a start may miss that the newest rounds are gone; they are here now.
      LOG.debug("noting the newest event", e);
    }
  }

  private void rollBack() {
    try {
      execute("ROLLBACK");
    } catch (SQLException e) {
      // On a full disk SQLite has rolled back by itself and says that there is nothing to do.
      LOG.debug("rolling back", e);
    }
  }

  /** Transactions are begun and ended here: the driver loses count when SQLite ends one itself. */
  private void execute(String sql) throws SQLException {
    try (Statement statement = writing.createStatement()) {
      statement.execute(sql);
    }
  }

  /** Runs a query; queries of several threads wait for each other. */
  <T> T read(Query<T> query) throws RecordException {
    synchronized (reading) {
      try {
        return query.run(reading);
      } catch (SQLException e) {
        throw new RecordException(
            "record " + file + ": cannot be read (" + e.getMessage() + ")", e);
      }
    }
  }

  /** Writes what is waiting, at most for 10 s, and closes the file. */
  @Override
  public void close() {
    writer.shutdown();
    try {
      if (!writer.awaitTermination(10, TimeUnit.SECONDS)) {
        LOG.error("record {}: rounds were still waiting after 10 s and are lost", file);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    try {
      synchronized (reading) {
        reading.close();
      }
      writing.close();
      lock.close();
    } catch (SQLException | IOException e) {
      LOG.warn("record {}: closing: {}", file, e.getMessage());
    }
  }
}
