package org.bathwarden.record;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.HexFormat;
import org.jspecify.annotations.Nullable;

/**
 * The hash chain over the events. Each bears the SHA-256 of the hash before it and its own content,
 * so that a changed, removed or inserted event no longer fits its neighbours. Who writes the whole
 * rest of the chain anew, or cuts off its end, is only found against a hash that was noted
 * elsewhere.
 */
final class Chain {

  /** What stands before the first event. */
  static final String START = "00".repeat(32);

  /** Columns of an event in the order in which {@link #hash} takes them. */
  static final String COLUMNS = "seq, tank, steady_ms, wall, kind, body, hash";

  private Chain() {}

  /** An event as it is stored. */
  record Row(
      long seq, String tank, long steadyMs, String wall, String kind, String body, String hash) {

    /** The row a query of {@link #COLUMNS} stands on; a text that is missing is empty. */
    static Row of(ResultSet row) throws SQLException {
      return new Row(
          row.getLong(1),
          text(row, 2),
          row.getLong(3),
          text(row, 4),
          text(row, 5),
          text(row, 6),
          hex(row.getBytes(7)));
    }

    private static String text(ResultSet row, int column) throws SQLException {
      String text = row.getString(column);
      return text == null ? "" : text;
    }

    /** Whether the hash it bears is that of its content behind {@code previous}. */
    boolean fits(String previous) {
      return hash.equals(Chain.hash(previous, seq, tank, steadyMs, wall, kind, body));
    }
  }

  /** What the next event of a store is tied to. */
  record End(long nextSeq, String hash) {

    /** The end of the chain in {@code connection}. */
    static End of(Connection connection) throws SQLException {
      try (Statement statement = connection.createStatement();
          ResultSet row =
              statement.executeQuery(
                  "SELECT 1 + max(coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'event'), 0),"
                      + " coalesce((SELECT max(seq) FROM event), 0)),"
                      + " (SELECT hash FROM event ORDER BY seq DESC LIMIT 1)")) {
        row.next();
        byte[] hash = row.getBytes(2);
        return new End(row.getLong(1), hash == null ? START : hex(hash));
      }
    }
  }

  /**
   * SHA-256 of: the hash before, 32 bytes; the number and the steady time in ms, 8 bytes each, high
   * byte first; tank, wall time, kind and body, each as its length in bytes, 4 bytes, and UTF-8.
   */
  static String hash(
      String previous,
      long seq,
      String tank,
      long steadyMs,
      String wall,
      String kind,
      String body) {
    MessageDigest digest = sha256();
    digest.update(bytes(previous));
    digest.update(ByteBuffer.allocate(16).putLong(seq).putLong(steadyMs).array());
    for (String text : new String[] {tank, wall, kind, body}) {
      byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
      digest.update(ByteBuffer.allocate(4).putInt(bytes.length).array());
      digest.update(bytes);
    }
    return hex(digest.digest());
  }

  /** SHA-256 of a text, as hexadecimal digits. */
  static String hash(String text) {
    return hex(sha256().digest(text.getBytes(StandardCharsets.UTF_8)));
  }

  /** A hash as hexadecimal digits; without one none. */
  private static String hex(byte @Nullable [] hash) {
    return hash == null ? "" : HexFormat.of().formatHex(hash);
  }

  /** A hash as it is stored. */
  static byte[] bytes(String hash) {
    return HexFormat.of().parseHex(hash);
  }

  /** Ties together the events of a store that was written before there was a chain. */
  static void tieAll(Connection connection) throws SQLException {
    String previous = START;
    try (Statement statement = connection.createStatement();
        PreparedStatement update =
            connection.prepareStatement("UPDATE event SET hash = ? WHERE seq = ?");
        ResultSet rows = statement.executeQuery("SELECT " + COLUMNS + " FROM event ORDER BY seq")) {
      while (rows.next()) {
        Row row = Row.of(rows);
        previous =
            hash(
                previous,
                row.seq(),
                row.tank(),
                row.steadyMs(),
                row.wall(),
                row.kind(),
                row.body());
        update.setBytes(1, bytes(previous));
        update.setLong(2, row.seq());
        update.executeUpdate();
      }
    }
  }

  private static MessageDigest sha256() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}
