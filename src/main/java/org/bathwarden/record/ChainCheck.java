package org.bathwarden.record;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.cycle.Fact.Span;

/**
 * A walk along the chain of events, and where it breaks.
 *
 * @param events how many events were walked over
 * @param newest number of the newest event; 0 if there is none
 * @param newestHash its hash
 * @param breaks events that are missing, or that do not fit what stands before them
 * @param more breaks beyond those listed
 */
record ChainCheck(long events, long newest, String newestHash, List<Span> breaks, long more) {

  /** More breaks than this are only counted. */
  static final int BREAKS_LISTED_MAX = 1000;

  /** Takes each event of a walk, whether it fits or not. */
  interface Visitor {
    void event(Chain.Row row, boolean fits) throws SQLException;
  }

  /**
   * Walks over all events after {@code after}; what that one bears is taken as right.
   *
   * @param after 0 to begin with the first
   */
  static ChainCheck of(Connection connection, long after, Visitor visitor) throws SQLException {
    Walk walk = new Walk(after);
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT " + Chain.COLUMNS + " FROM event WHERE seq >= ? ORDER BY seq")) {
      select.setLong(1, after);
      try (ResultSet rows = select.executeQuery()) {
        while (rows.next()) {
          walk.step(Chain.Row.of(rows), visitor);
        }
      }
    }
    // Numbers are given out once: those beyond the newest were cut off.
    long given = Chain.End.of(connection).nextSeq() - 1;
    if (given > walk.seq) {
      walk.broken(walk.seq + 1, given);
    }
    return new ChainCheck(walk.events, walk.seq, walk.hash, walk.breaks, walk.more);
  }

  private static final class Walk {
    private final List<Span> breaks = new ArrayList<>();
    private final long after;
    private long more;
    private long events;
    private long seq;
    private String hash = Chain.START;

    Walk(long after) {
      this.after = after;
      this.seq = after;
    }

    void step(Chain.Row row, Visitor visitor) throws SQLException {
      if (row.seq() != after) {
        if (row.seq() > seq + 1) {
          broken(seq + 1, row.seq() - 1);
        }
        boolean fits = row.fits(hash);
        if (!fits) {
          broken(row.seq(), row.seq());
        }
        events++;
        visitor.event(row, fits);
      }
      seq = row.seq();
      hash = row.hash();
    }

    private void broken(long from, long to) {
      int last = breaks.size() - 1;
      if (last >= 0 && breaks.get(last).to() == from - 1) {
        breaks.set(last, new Span(breaks.get(last).from(), to));
      } else if (breaks.size() < BREAKS_LISTED_MAX) {
        breaks.add(new Span(from, to));
      } else {
        more++;
      }
    }
  }
}
