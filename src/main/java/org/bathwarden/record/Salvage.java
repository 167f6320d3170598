package org.bathwarden.record;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * Builds a fresh store of all that can be read of a damaged one, names what cannot, and lets them
 * change places. The damaged file is only ever copied and renamed.
 */
final class Salvage {

  private static final DateTimeFormatter STAMP =
      DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmmssSSS'Z'").withZone(ZoneOffset.UTC);

  private static final List<String> BY_ROW =
      List.of("event", "outbox", "request", "pass", "settings", "doubt");
  private static final List<String> BY_KEY = List.of("state", "image", "estimate");

  private final Path file;
  private final Instant wall;
  private final List<String> lost = new ArrayList<>();

  private Salvage(Path file, Instant wall) {
    this.file = file;
    this.wall = wall;
  }

  /**
   * Salvages {@code file}.
   *
   * @param how what was found
   * @param note the newest event that was known, if it is
   * @param wall now, wall time
   * @return what is lost, for people
   */
  static List<String> run(Path file, String how, Optional<LockFile.Note> note, Instant wall)
      throws IOException, SQLException {
    return new Salvage(file, wall).run(how, note);
  }

  private List<String> run(String how, Optional<LockFile.Note> note)
      throws IOException, SQLException {
    String stamp = STAMP.format(wall);
    Path moved = Aside.moved(file, stamp);
    lost.add("damaged: " + how + "; set aside as " + moved.getFileName());
    Path source = Aside.with(file, ".salvage-source");
    Path target = Aside.with(file, ".salvaging");
    clear(source);
    clear(target);
    try {
      copyFiles(source);
      build(source, target, moved, note);
      Files.move(target, Aside.ready(file, stamp), StandardCopyOption.ATOMIC_MOVE);
    } finally {
      clear(source);
      clear(target);
    }
    Aside.finish(file);
    return lost;
  }

  private static void clear(Path made) throws IOException {
    for (String suffix : List.of("", "-wal", "-shm", "-journal")) {
      Files.deleteIfExists(Aside.with(made, suffix));
    }
  }

  /**
   * SQLite opens a file that is cut off once it has its length; what is missing reads as damage.
   */
  private void copyFiles(Path source) throws IOException {
    Files.copy(file, source);
    if (Files.exists(Aside.log(file))) {
      Files.copy(Aside.log(file), Aside.log(source));
    }
    long whole = Math.min(Damage.wholeBytes(source), Files.size(source) * 16 + (1L << 20));
    if (Files.size(source) < whole) {
      try (var channel = Files.newByteChannel(source, StandardOpenOption.WRITE)) {
        channel.position(whole - 1).write(ByteBuffer.wrap(new byte[1]));
      }
    }
  }

  private void build(Path source, Path target, Path moved, Optional<LockFile.Note> note)
      throws SQLException {
    try (Connection to = Sql.open(target)) {
      Sql.run(to, "PRAGMA synchronous = OFF");
      to.setAutoCommit(false);
      Schema.bringUp(to);
      long given = copyRows(source, to);
      long newest = Math.max(given, note.map(LockFile.Note::sequence).orElse(0L));
      DamageNote.write(to, wall, String.valueOf(moved.getFileName()), lost, newest);
      to.commit();
    }
  }

  /** Copies what can be read; returns the highest number known to have been given to an event. */
  private long copyRows(Path source, Connection to) throws SQLException {
    try (Connection from = Sql.open(source)) {
      Sql.run(from, "PRAGMA query_only = ON");
      int version = Schema.version(from);
      if (version < Schema.CHAINED || version > Schema.MIGRATIONS.size()) {
        lost.add("everything: its layout cannot be made out");
        return 0;
      }
      for (String table : BY_ROW) {
        lost.addAll(new TableCopy(from, to, table).byRow());
      }
      for (String table : BY_KEY) {
        lost.addAll(new TableCopy(from, to, table).byKey());
      }
      return sequence(from);
    } catch (SQLException e) {
      if (!Sql.damaged(e)) {
        throw e;
      }
      lost.add("what follows could not be read: " + e.getMessage());
      return 0;
    }
  }

  private static long sequence(Connection from) {
    try {
      return Sql.number(from, "SELECT seq FROM sqlite_sequence WHERE name = 'event'");
    } catch (SQLException e) {
      return 0;
    }
  }
}
