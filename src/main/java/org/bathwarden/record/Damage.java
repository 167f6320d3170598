package org.bathwarden.record;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Finds out whether a file is a whole store of ours, before anything is written to it. The header
 * is read before SQLite does, which would take an empty or a shortened file for a new one; its
 * layout is that of the SQLite file format, section 1.3 ("The Database Header"): magic at 0, page
 * size at 16, number of pages at 28.
 */
final class Damage {

  /**
   * Larger stores are not read through at each start, which must stay short; their header, their
   * schema and their newest events are looked at in any case, and {@code verify} reads all.
   */
  static final long READ_WHOLE_MAX_BYTES = 64L << 20;

  /** Newest events that are looked at in any case. */
  static final int EVENTS_READ_MIN = 5000;

  private static final Logger LOG = LoggerFactory.getLogger(Damage.class);
  private static final byte[] MAGIC = "SQLite format 3\0".getBytes(StandardCharsets.US_ASCII);
  private static final int HEADER = 100;

  private Damage() {}

  /**
   * How a file that bears our name is damaged; empty if it is whole, or not there.
   *
   * @throws RecordException if it is no store of ours, or of a newer version, or cannot be read for
   *     another reason than damage
   */
  static Optional<String> of(Path file) throws RecordException {
    if (!Files.exists(file)) {
      return Optional.empty();
    }
    Optional<String> cut = header(file);
    if (cut.isPresent()) {
      return cut;
    }
    try (Connection connection = Sql.look(file)) {
      Schema.refuseForeign(connection, file);
      Schema.refuseNewer(Schema.version(connection), file);
      return pages(connection, file);
    } catch (SQLException e) {
      if (Sql.damaged(e)) {
        return Optional.of(String.valueOf(e.getMessage()));
      }
      throw new RecordException("record " + file + ": cannot be read (" + e.getMessage() + ")", e);
    } catch (IOException e) {
      throw unreadable(file, e);
    }
  }

  private static Optional<String> pages(Connection connection, Path file)
      throws SQLException, IOException {
    boolean whole = Files.size(file) <= READ_WHOLE_MAX_BYTES;
    if (whole) {
      String found = quickCheck(connection);
      if (!"ok".equals(found)) {
        return Optional.of(found);
      }
    } else {
      LOG.info("record {}: too large to be read through at each start; see verify", file);
    }
    if (Schema.version(connection) < Schema.CHAINED) {
      return Optional.empty();
    }
    long newest = Sql.number(connection, "SELECT max(seq) FROM event");
    long after = whole ? 0 : Math.max(0, newest - EVENTS_READ_MIN);
    ChainCheck chain = ChainCheck.of(connection, after, (row, fits) -> {});
    KnownDamage known = KnownDamage.in(connection);
    return chain.breaks().stream()
        .filter(span -> !known.covers(span))
        .findFirst()
        .map(span -> KnownDamage.words(span) + " not as written, or missing");
  }

  private static String quickCheck(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet result = statement.executeQuery("PRAGMA quick_check(1)")) {
      return result.next() ? result.getString(1) : "no answer";
    }
  }

  /** What is wrong with the file as such, by its first bytes and its length. */
  static Optional<String> header(Path file) throws RecordException {
    try (InputStream in = Files.newInputStream(file)) {
      ByteBuffer header = ByteBuffer.wrap(in.readNBytes(HEADER));
      if (header.limit() < HEADER) {
        return Optional.of("it ends after " + header.limit() + " bytes");
      }
      if (!magic(header)) {
        return Optional.of("it is no SQLite file");
      }
      // Pages that were last written may still be in the log; without one the file must be whole.
      Path log = Aside.log(file);
      boolean logged = Files.exists(log) && Files.size(log) > 0;
      long whole = wholeBytes(header);
      return !logged && Files.size(file) < whole
          ? Optional.of("it is cut off: " + Files.size(file) + " of " + whole + " bytes")
          : Optional.empty();
    } catch (IOException e) {
      throw unreadable(file, e);
    }
  }

  /** Length that the header gives the file, bytes; 0 if it has none. */
  static long wholeBytes(Path file) throws IOException {
    try (InputStream in = Files.newInputStream(file)) {
      ByteBuffer header = ByteBuffer.wrap(in.readNBytes(HEADER));
      return header.limit() == HEADER && magic(header) ? wholeBytes(header) : 0;
    }
  }

  private static long wholeBytes(ByteBuffer header) {
    int size = Short.toUnsignedInt(header.getShort(16));
    return Integer.toUnsignedLong(header.getInt(28)) * (size == 1 ? 65536 : size);
  }

  private static boolean magic(ByteBuffer header) {
    return header.slice(0, MAGIC.length).equals(ByteBuffer.wrap(MAGIC));
  }

  private static RecordException unreadable(Path file, IOException e) {
    return new RecordException(
        "record " + file + ": cannot be read (" + e + "); check who may read it", e);
  }

  /** Refuses a damaged store where nothing may be changed. */
  static void refuse(Path file) throws RecordException {
    Optional<String> how = header(file);
    if (how.isPresent()) {
      throw new RecordException(
          "record "
              + file
              + ": is damaged or no record ("
              + how.get()
              + "); nothing was changed; the service keeps what it can of it when it starts");
    }
  }
}
