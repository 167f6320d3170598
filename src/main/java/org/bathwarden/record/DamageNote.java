package org.bathwarden.record;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.List;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Fact.Span;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/**
 * Says in the record itself that it is damaged: an event that names what is lost, and a doubt on
 * every tank's state, which lasts until that state is written anew.
 */
final class DamageNote {

  /** The name under which it stands, as everything that is of the whole site. */
  static final TankId SITE = new TankId("site");

  private DamageNote() {}

  /**
   * Writes the note.
   *
   * @param aside name of the damaged file; empty if it is this one
   * @param lost what is lost, for people; lost events are added
   * @param given highest number that was given to an event; none is given again
   */
  static void write(
      Connection connection, Instant wall, String aside, List<String> lost, long given)
      throws SQLException {
    keepNumbers(connection, given);
    KnownDamage known = KnownDamage.in(connection);
    List<Span> events =
        ChainCheck.of(connection, 0, (row, fits) -> {}).breaks().stream()
            .filter(span -> !known.covers(span))
            .toList();
    events.forEach(span -> lost.add(KnownDamage.words(span) + " lost, or not as written"));
    // What is lost cannot be published any more.
    Sql.run(connection, "DELETE FROM outbox WHERE seq NOT IN (SELECT seq FROM event)");
    for (Span span : events) {
      Sql.update(
          connection, "DELETE FROM outbox WHERE seq BETWEEN ? AND ?", span.from(), span.to());
    }
    String reason = String.join("; ", lost);
    Sql.update(connection, "UPDATE state SET doubt = ?", reason);
    Sql.update(connection, "INSERT OR REPLACE INTO doubt(what) VALUES (?)", reason);
    long newestMs =
        Math.max(
            Sql.number(connection, "SELECT max(steady_ms) FROM event"),
            Sql.number(connection, "SELECT max(steady_ms) FROM state"));
    Instant newest = Instant.ofEpochMilli(newestMs);
    Now at = new Now(newest.isAfter(wall) ? newest : wall, wall);
    new EventTable(new Codec())
        .append(connection, new Fact.RecordDamaged(SITE, at, aside, lost, events));
  }

  private static void keepNumbers(Connection connection, long given) throws SQLException {
    long next = Chain.End.of(connection).nextSeq();
    if (given >= next) {
      Sql.update(connection, "DELETE FROM sqlite_sequence WHERE name = 'event'");
      Sql.update(connection, "INSERT INTO sqlite_sequence(name, seq) VALUES ('event', ?)", given);
    }
  }
}
