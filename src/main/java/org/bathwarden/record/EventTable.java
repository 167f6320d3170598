package org.bathwarden.record;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.cycle.Fact;
import org.bathwarden.tank.TankId;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** How events go into the store, each tied to the one before, and come out of it. */
final class EventTable {

  private static final Logger LOG = LoggerFactory.getLogger(EventTable.class);

  private final Codec codec;

  EventTable(Codec codec) {
    this.codec = codec;
  }

  /** Appends an event, which waits to be published. For the thread of the round only. */
  void append(Connection connection, Fact.Event event) throws SQLException {
    Chain.End end = Chain.End.of(connection);
    String tank = event.tank().name();
    long steadyMs = event.at().steady().toEpochMilli();
    String wall = event.at().wall().toString();
    String kind = kind(event);
    String body = codec.write(Fact.Event.class, event);
    String hash = Chain.hash(end.hash(), end.nextSeq(), tank, steadyMs, wall, kind, body);
    Sql.update(
        connection,
        "INSERT INTO event(" + Chain.COLUMNS + ") VALUES (?, ?, ?, ?, ?, ?, ?)",
        end.nextSeq(),
        tank,
        steadyMs,
        wall,
        kind,
        body,
        Chain.bytes(hash));
    Sql.update(connection, "INSERT INTO outbox(seq) VALUES (?)", end.nextSeq());
  }

  static String kind(Fact.Event fact) {
    return fact instanceof Fact.Dosed dosed
        ? dosed.event().getClass().getSimpleName()
        : fact.getClass().getSimpleName();
  }

  /** Hash of event {@code sequence}, hexadecimal; empty if there is none. */
  static Optional<String> hash(Connection connection, long sequence) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement("SELECT lower(hex(hash)) FROM event WHERE seq = ?")) {
      select.setLong(1, sequence);
      try (ResultSet row = select.executeQuery()) {
        return row.next() ? Optional.of(row.getString(1)) : Optional.empty();
      }
    }
  }

  /** Bodies of all events of one kind under one name, oldest first. */
  static List<String> bodies(Connection connection, TankId tank, Class<? extends Fact.Event> kind)
      throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT body FROM event WHERE tank = ? AND kind = ? ORDER BY seq")) {
      select.setString(1, tank.name());
      select.setString(2, kind.getSimpleName());
      List<String> found = new ArrayList<>();
      try (ResultSet row = select.executeQuery()) {
        while (row.next()) {
          found.add(row.getString(1));
        }
      }
      return found;
    }
  }

  /**
   * Events by a query for {@code seq, body} with two parameters. One that cannot be read any more
   * is left out, so that it holds up no other; {@code verify} names it.
   */
  List<Record.StoredEvent> select(Store store, String sql, long sequence, int max)
      throws RecordException {
    record Row(long sequence, String body) {}
    List<Row> rows =
        store.read(
            connection -> {
              try (PreparedStatement select = connection.prepareStatement(sql)) {
                select.setLong(1, sequence);
                select.setInt(2, max);
                List<Row> found = new ArrayList<>();
                try (ResultSet row = select.executeQuery()) {
                  while (row.next()) {
                    found.add(new Row(row.getLong(1), row.getString(2)));
                  }
                }
                return found;
              }
            });
    List<Record.StoredEvent> events = new ArrayList<>(rows.size());
    for (Row row : rows) {
      try {
        Fact.Event event = codec.read(Fact.Event.class, row.body());
        events.add(new Record.StoredEvent(row.sequence(), event));
      } catch (RecordException e) {
        LOG.debug("event {} is left out", row.sequence(), e);
      }
    }
    return events;
  }
}
