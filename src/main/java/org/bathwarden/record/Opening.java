package org.bathwarden.record;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Brings a store to where it can be used: locks it, looks whether it is ours and whole, salvages it
 * if it is not whole, brings its tables up to date.
 */
final class Opening {

  private static final Logger LOG = LoggerFactory.getLogger(Opening.class);

  private final Path file;
  private final Instant wall;

  private Opening(Path file, Instant wall) {
    this.file = file;
    this.wall = wall;
  }

  /** What a store needs to run: its lock, and a connection to write with. */
  record Opened(LockFile lock, Connection writing) {}

  /**
   * Opens, or makes, the store.
   *
   * @param file absolute
   * @throws RecordException if it cannot be used; the message names the file and the remedy
   */
  static Opened open(Path file, Instant wall) throws RecordException {
    return new Opening(file, wall).open();
  }

  private Opened open() throws RecordException {
    LockFile lock = null;
    try {
      refuseWithoutFolder();
      refuseStranger();
      lock =
          LockFile.take(file)
              .orElseThrow(
                  () ->
                      said(
                          "another process has it open; stop that one, or give this one a record"
                              + " of its own"));
      Connection writing = connect(lock);
      return new Opened(lock, writing);
    } catch (IOException e) {
      closeQuietly(lock);
      throw new RecordException(
          "record " + file + ": cannot be opened (" + e + "); check that the folder can be written",
          e);
    } catch (SQLException e) {
      closeQuietly(lock);
      throw new RecordException(
          "record " + file + ": cannot be opened (" + e.getMessage() + "); look at its disk", e);
    } catch (RecordException e) {
      closeQuietly(lock);
      throw e;
    }
  }

  private void refuseWithoutFolder() throws RecordException {
    Path folder = file.getParent();
    if (folder != null && !Files.isDirectory(folder)) {
      // A folder made here would hide a slip in the path: an empty record knows no open order.
      throw said("there is no folder " + folder + "; make it, or correct the path");
    }
  }

  /** A file that was never opened here and is no SQLite file is someone else's: hands off. */
  private void refuseStranger() throws RecordException {
    if (Files.exists(file) && !LockFile.isThere(file)) {
      Optional<String> how = Damage.header(file);
      if (how.isPresent()) {
        throw said(
            "is no record, or damaged ("
                + how.get()
                + "), and was never opened here; nothing was changed; correct the path, or restore"
                + " a backup");
      }
    }
  }

  private Connection connect(LockFile lock) throws IOException, SQLException, RecordException {
    Aside.finish(file);
    Optional<String> damage = Damage.of(file);
    if (damage.isPresent()) {
      log(Salvage.run(file, damage.get(), lock.found(), wall));
    }
    Connection connection = Store.connect(file);
    try {
      connection.setAutoCommit(false);
      Schema.bringUp(connection);
      if (lock.found().isPresent() && damage.isEmpty()) {
        holdAgainst(lock.found().get(), connection);
      }
      connection.commit();
      connection.setAutoCommit(true);
      return connection;
    } catch (SQLException e) {
      connection.close();
      throw e;
    }
  }

  /** A store that is whole may still be older than what is known to have been in it. */
  private void holdAgainst(LockFile.Note note, Connection connection) throws SQLException {
    Optional<String> hash = EventTable.hash(connection, note.sequence());
    if (note.sequence() == 0 || hash.equals(Optional.of(note.hash()))) {
      return;
    }
    List<String> lost = new ArrayList<>();
    lost.add(
        hash.isPresent()
            ? "event " + note.sequence() + " is another one than was stored here"
            : "it ends before event "
                + note.sequence()
                + ", which was stored here: its write-ahead log was lost or damaged, its end was"
                + " removed, or an older file was put in its place");
    DamageNote.write(connection, wall, "", lost, note.sequence());
    log(lost);
  }

  private void log(List<String> lost) {
    LOG.error(
        "record {}: what could be read was kept; every tank waits for an engineer, who"
            + " resynchronises and resets after a titration; {}",
        file,
        String.join("; ", lost));
  }

  private RecordException said(String what) {
    return new RecordException("record " + file + ": " + what);
  }

  private static void closeQuietly(@Nullable LockFile lock) {
    if (lock != null) {
      try {
        lock.close();
      } catch (IOException e) {
        LOG.debug("closing the lock file", e);
      }
    }
  }
}
