package org.bathwarden.record;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;

/** Copies a record that is in use, and puts such a copy in the place of one that is gone. */
public final class Backup {

  private Backup() {}

  /**
   * Copies a record as it is at one moment, while the service goes on writing: a reader of SQLite's
   * write-ahead log holds up no writer. The copy is looked through and forced to the disk before it
   * bears its name.
   *
   * @param target the copy; must not exist
   * @return what the look through the copy found: nothing
   * @throws RecordException if the copy could not be made, or something is wrong with it; then
   *     there is none
   */
  public static Verification make(Path record, Path target) throws RecordException {
    refuseExisting(target);
    if (!Files.isRegularFile(record)) {
      throw new RecordException("record " + record + ": there is none to back up");
    }
    Damage.refuse(record);
    Path part = Aside.with(target.toAbsolutePath(), ".part");
    try {
      try {
        Files.deleteIfExists(part);
        copy(record, part);
        Verification copy = sound(part);
        Aside.replace(part, target.toAbsolutePath());
        return copy.at(target);
      } finally {
        Files.deleteIfExists(part);
      }
    } catch (IOException | SQLException e) {
      throw new RecordException(
          "backup " + target + ": could not be made (" + e.getMessage() + ")", e);
    }
  }

  private static void copy(Path record, Path part) throws SQLException, RecordException {
    try (Connection connection = Sql.look(record)) {
      Schema.refuseForeign(connection, record);
      Sql.update(connection, "VACUUM INTO ?", part.toString());
    }
  }

  /**
   * Puts a backup where the record of a configuration is expected, on a machine where there is
   * none.
   *
   * @return what the look through the backup found: nothing
   * @throws RecordException if there is a record already, if the service runs, or if something is
   *     wrong with the backup; then nothing was changed
   */
  public static Verification restore(Path backup, Path record) throws RecordException {
    Verification found = sound(backup);
    Path place = record.toAbsolutePath();
    refuseExisting(place);
    refuseExisting(Aside.log(place));
    try {
      Optional<LockFile> lock = LockFile.take(place);
      if (lock.isEmpty()) {
        throw new RecordException("record " + record + ": the service has it open; stop it first");
      }
      try {
        Path part = Aside.with(place, ".restoring");
        Files.deleteIfExists(part);
        Files.copy(backup, part);
        Aside.replace(part, place);
      } finally {
        lock.get().close();
      }
      return found;
    } catch (IOException e) {
      throw new RecordException("record " + record + ": could not be restored (" + e + ")", e);
    }
  }

  private static Verification sound(Path copy) throws RecordException {
    Verification found = Verification.of(copy, Optional.empty());
    if (!found.sound()) {
      List<Verification.Finding> findings = found.findings();
      throw new RecordException(
          "backup "
              + copy
              + ": something is wrong with it; nothing was changed; "
              + findings.stream()
                  .limit(5)
                  .map(Verification.Finding::text)
                  .collect(Collectors.joining("; "))
              + (findings.size() > 5 ? "; verify lists all" : ""));
    }
    return found;
  }

  private static void refuseExisting(Path file) throws RecordException {
    if (Files.exists(file)) {
      throw new RecordException(
          file + " exists and is not overwritten; move it aside, or name another place");
    }
  }
}
