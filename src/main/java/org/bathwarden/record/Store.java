package org.bathwarden.record;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
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

  /**
   * Larger stores are not read through at each start, which must stay short; that they are whole
   * and SQLite is looked at in any case, and SQLite finds a bad page when it meets it.
   */
  static final long CHECKED_WHOLE_MAX_BYTES = 64L << 20;

  private static final Logger LOG = LoggerFactory.getLogger(Store.class);
  private static final int SCHEMA_VERSION = Schema.MIGRATIONS.size();

  private final Path file;
  private final FileChannel lockChannel;
  private final FileLock lock;
  private final Connection writing;
  private final Connection reading;
  private final ThreadPoolExecutor writer;
  private long failures;

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
   * @throws RecordException if another process has it, if it is damaged, or if it is of a newer
   *     version; the message names the file and the remedy
   */
  static Store open(Path file) throws RecordException {
    Path absolute = file.toAbsolutePath();
    FileChannel channel = null;
    try {
      Path folder = absolute.getParent();
      if (folder != null && !Files.isDirectory(folder)) {
        // A folder made here would hide a slip in the path: an empty record knows no open order.
        throw new RecordException(
            "record " + file + ": there is no folder " + folder + "; make it, or correct the path");
      }
      channel =
          FileChannel.open(
              absolute.resolveSibling(absolute.getFileName() + ".lock"),
              StandardOpenOption.CREATE,
              StandardOpenOption.WRITE);
      FileLock lock = lockOrNull(channel);
      if (lock == null) {
        channel.close();
        throw new RecordException(
            "record "
                + file
                + ": another process has it open; stop that one, or give this one a record of its"
                + " own");
      }
      Damage.refuse(absolute);
      return new Store(absolute, channel, lock);
    } catch (IOException e) {
      closeQuietly(channel);
      throw new RecordException(
          "record " + file + ": cannot be opened (" + e + "); check that the folder can be written",
          e);
    } catch (SQLException e) {
      closeQuietly(channel);
      RecordException damaged = Damage.damaged(file, String.valueOf(e.getMessage()));
      damaged.initCause(e);
      throw damaged;
    } catch (RecordException e) {
      closeQuietly(channel);
      throw e;
    }
  }

  private static @Nullable FileLock lockOrNull(FileChannel channel) throws IOException {
    try {
      return channel.tryLock();
    } catch (OverlappingFileLockException e) {
      return null;
    }
  }

  private static void closeQuietly(@Nullable FileChannel channel) {
    if (channel != null) {
      try {
        channel.close();
      } catch (IOException e) {
        LOG.debug("closing the lock file", e);
      }
    }
  }

  private Store(Path file, FileChannel lockChannel, FileLock lock)
      throws SQLException, IOException, RecordException {
    this.file = file;
    this.lockChannel = lockChannel;
    this.lock = lock;
    this.writing = connect(file);
    try {
      check(writing);
      migrate(writing);
      this.reading = connect(file);
    } catch (SQLException | IOException | RecordException e) {
      writing.close();
      throw e;
    }
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

  private static Connection connect(Path file) throws SQLException {
    Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
    try (Statement statement = connection.createStatement()) {
      statement.execute("PRAGMA busy_timeout = 2000");
      try (ResultSet mode = statement.executeQuery("PRAGMA journal_mode = WAL")) {
        mode.next();
      }
      statement.execute("PRAGMA synchronous = FULL");
      statement.execute("PRAGMA foreign_keys = ON");
    }
    return connection;
  }

  /** Holds every page against its neighbours, which reads the whole file: small ones only. */
  private void check(Connection connection) throws SQLException, IOException, RecordException {
    if (Files.size(file) > CHECKED_WHOLE_MAX_BYTES) {
      LOG.info("record {}: too large to be checked page by page at each start", file);
      return;
    }
    try (Statement statement = connection.createStatement();
        ResultSet result = statement.executeQuery("PRAGMA quick_check(1)")) {
      String found = result.next() ? result.getString(1) : "no answer";
      if (!"ok".equals(found)) {
        throw Damage.damaged(file, found);
      }
    }
  }

  private void migrate(Connection connection) throws SQLException, RecordException {
    int version = Schema.version(connection);
    Schema.refuseNewer(version, file);
    connection.setAutoCommit(false);
    try (Statement statement = connection.createStatement()) {
      for (int v = version; v < SCHEMA_VERSION; v++) {
        for (String sql : Schema.MIGRATIONS.get(v)) {
          statement.execute(sql);
        }
        statement.execute("PRAGMA user_version = " + (v + 1));
      }
    }
    connection.commit();
    connection.setAutoCommit(true);
  }

  /** Puts a round in the queue of the writer; all of it is written, or nothing. */
  Commit write(List<Change> round) {
    CompletableFuture<Commit.Durable> done = new CompletableFuture<>();
    try {
      writer.execute(
          () -> {
            try {
              done.complete(transact(round));
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
      lock.release();
      lockChannel.close();
    } catch (SQLException | IOException e) {
      LOG.warn("record {}: closing: {}", file, e.getMessage());
    }
  }
}
