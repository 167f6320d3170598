package org.bathwarden.record;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * Looks at the first bytes of a store before SQLite does, which would take an empty or a shortened
 * file for a new one, or find out only when it meets a page that is missing. The layout of the
 * header is that of the SQLite file format, section 1.3 ("The Database Header"): magic at 0, page
 * size at 16, number of pages at 28.
 */
final class Damage {

  private static final byte[] MAGIC = "SQLite format 3\0".getBytes(StandardCharsets.US_ASCII);
  private static final int HEADER = 100;

  private Damage() {}

  /**
   * Refuses what cannot be a whole store; a file that does not exist is fine.
   *
   * @throws RecordException with the remedy
   */
  static void refuse(Path file) throws RecordException {
    if (!Files.exists(file)) {
      return;
    }
    try (InputStream in = Files.newInputStream(file)) {
      ByteBuffer header = ByteBuffer.wrap(in.readNBytes(HEADER));
      if (header.limit() < HEADER) {
        throw damaged(file, "it ends after " + header.limit() + " bytes");
      }
      if (!header.slice(0, MAGIC.length).equals(ByteBuffer.wrap(MAGIC))) {
        throw damaged(file, "it is no SQLite file");
      }
      // Pages that were last written may still be in the log; without one the file must be whole.
      Path log = file.resolveSibling(file.getFileName() + "-wal");
      boolean logged = Files.exists(log) && Files.size(log) > 0;
      int size = Short.toUnsignedInt(header.getShort(16));
      long whole = Integer.toUnsignedLong(header.getInt(28)) * (size == 1 ? 65536 : size);
      if (!logged && Files.size(file) < whole) {
        throw damaged(file, "it is cut off: " + Files.size(file) + " of " + whole + " bytes");
      }
    } catch (IOException e) {
      throw new RecordException(
          "record " + file + ": cannot be read (" + e + "); check who may read it", e);
    }
  }

  /** The message for a damaged store. */
  static RecordException damaged(Path file, String how) {
    return new RecordException(
        "record "
            + file
            + ": is damaged or no record ("
            + how
            + "); nothing was changed; move the file and its -wal and -shm aside, keep them, and"
            + " start with a backup or a fresh record");
  }
}
