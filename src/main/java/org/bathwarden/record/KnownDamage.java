package org.bathwarden.record;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Fact.Span;

/** Events that an earlier start found lost or altered, and said so in the record itself. */
record KnownDamage(List<Span> spans) {

  static KnownDamage in(Connection connection) throws SQLException {
    Codec codec = new Codec();
    List<Span> spans = new ArrayList<>();
    for (String body : EventTable.bodies(connection, DamageNote.SITE, Fact.RecordDamaged.class)) {
      try {
        if (codec.read(Fact.Event.class, body) instanceof Fact.RecordDamaged damaged) {
          spans.addAll(damaged.events());
        }
      } catch (RecordException e) {
        // An unreadable note explains nothing: what it named stays unexplained.
      }
    }
    return new KnownDamage(List.copyOf(spans));
  }

  boolean covers(Span found) {
    return spans.stream().anyMatch(span -> span.covers(found));
  }

  static String words(Span span) {
    return span.from() == span.to()
        ? "event " + span.from() + " is"
        : "events " + span.from() + " to " + span.to() + " are";
  }
}
