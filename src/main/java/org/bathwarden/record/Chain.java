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

/**
 * The hash chain over the events. Each bears the SHA-256 of the hash before it and its own content,
 * so that a changed, removed or inserted event no longer fits its neighbours. Who writes the whole
 * rest of the chain anew, or cuts off its end, is only found against a hash that was noted
 * elsewhere.
 */
final class Chain {

  /** What stands before the first event. */
  private static final byte[] NOTHING = new byte[32];

  /** Columns of an event in the order in which {@link #hash} takes them. */
  static final String COLUMNS = "seq, tank, steady_ms, wall, kind, body, hash";

  private Chain() {}

  /** An event as it is stored. */
  record Row(
      long seq, String tank, long steadyMs, String wall, String kind, String body, byte[] hash) {

    /** The row a query of {@link #COLUMNS} stands on; a text that is missing is empty. */
    static Row of(ResultSet row) throws SQLException {
      return new Row(
          row.getLong(1),
          text(row, 2),
          row.getLong(3),
          text(row, 4),
          text(row, 5),
          text(row, 6),
          bytes(row, 7));
    }

    private static String text(ResultSet row, int column) throws SQLException {
      String text = row.getString(column);
      return text == null ? "" : text;
    }

    private static byte[] bytes(ResultSet row, int column) throws SQLException {
      byte[] bytes = row.getBytes(column);
      return bytes == null ? new byte[0] : bytes;
    }

    /** Whether the hash it bears is that of its content behind {@code previous}. */
    boolean fits(byte[] previous) {
      return MessageDigest.isEqual(
          hash, Chain.hash(previous, seq, tank, steadyMs, wall, kind, body));
    }
  }

  /** What the next event of a store is tied to. */
  record End(long nextSeq, byte[] hash) {

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
        return new End(row.getLong(1), hash == null ? NOTHING : hash);
      }
    }
  }

  static byte[] start() {
    return NOTHING.clone();
  }

  /**
   * SHA-256 of: the hash before, 32 bytes; the number and the steady time in ms, 8 bytes each, high
   * byte first; tank, wall time, kind and body, each as its length in bytes, 4 bytes, and UTF-8.
   */
  static byte[] hash(
      byte[] previous,
      long seq,
      String tank,
      long steadyMs,
      String wall,
      String kind,
      String body) {
    MessageDigest digest = sha256();
    digest.update(previous);
    digest.update(ByteBuffer.allocate(16).putLong(seq).putLong(steadyMs).array());
    for (String text : new String[] {tank, wall, kind, body}) {
      byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
      digest.update(ByteBuffer.allocate(4).putInt(bytes.length).array());
      digest.update(bytes);
    }
    return digest.digest();
  }

  /** SHA-256 of a text, as hexadecimal digits. */
  static String hash(String text) {
    return hex(sha256().digest(text.getBytes(StandardCharsets.UTF_8)));
  }

  static String hex(byte[] hash) {
    return HexFormat.of().formatHex(hash);
  }

  /** Ties together the events of a store that was written before there was a chain. */
  static void tieAll(Connection connection) throws SQLException {
    byte[] previous = NOTHING;
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
        update.setBytes(1, previous);
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
