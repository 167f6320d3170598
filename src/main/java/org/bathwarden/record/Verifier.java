package org.bathwarden.record;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Fact.Span;
import org.bathwarden.record.Verification.Finding;
import org.bathwarden.record.Verification.Kind;

/** Looks through a whole record. For one look. */
final class Verifier {

  private final Path file;
  private final Codec codec = new Codec();
  private final List<Finding> findings = new ArrayList<>();
  private final Set<String> notedLeft = new LinkedHashSet<>();
  private long notListed;
  private int version;
  private Optional<ChainCheck> chain = Optional.empty();
  private KnownDamage known = new KnownDamage(List.of());

  private Verifier(Path file) {
    this.file = file;
  }

  static Verification run(Path file, Optional<String> noted) throws RecordException {
    if (!Files.isRegularFile(file)) {
      throw new RecordException("record " + file + ": there is none");
    }
    Verifier verifier = new Verifier(file);
    noted.ifPresent(verifier.notedLeft::add);
    verifier.look();
    return verifier.result();
  }

  private Verification result() {
    return new Verification(
        file,
        version,
        chain.map(ChainCheck::events).orElse(0L),
        chain.map(ChainCheck::newest).orElse(0L),
        chain.map(ChainCheck::newestHash).orElse(""),
        findings,
        notListed,
        known.spans().stream().map(span -> KnownDamage.words(span) + " known to be lost").toList());
  }

  private void found(Kind kind, String text) {
    if (findings.size() < Verification.FINDINGS_MAX) {
      findings.add(new Finding(kind, text));
    } else {
      notListed++;
    }
  }

  private void look() throws RecordException {
    Optional<String> header = Damage.header(file);
    if (header.isPresent()) {
      found(Kind.FILE, header.get());
      return;
    }
    try {
      // Before the look: what is noted later need not be in what is seen.
      LockFile.peek(file).map(LockFile.Note::hash).ifPresent(notedLeft::add);
    } catch (IOException e) {
      found(Kind.FILE, "its lock file cannot be read: " + e.getMessage());
    }
    try (Connection connection = Sql.look(file)) {
      // One moment for all that follows, whatever is written meanwhile.
      connection.setAutoCommit(false);
      version = Schema.version(connection);
      Schema.refuseForeign(connection, file);
      Schema.refuseOther(connection, file);
      pages(connection);
      schema(connection);
      chain(connection);
      settings(connection);
      states(connection);
      connection.rollback();
    } catch (SQLException e) {
      found(Kind.PAGES, "cannot be read on: " + e.getMessage());
    } catch (RecordException e) {
      found(Kind.FILE, String.valueOf(e.getMessage()));
    }
  }

  private void pages(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery("PRAGMA integrity_check(" + Verification.FINDINGS_MAX + ")")) {
      while (row.next()) {
        if (!"ok".equals(row.getString(1))) {
          found(Kind.PAGES, row.getString(1));
        }
      }
    }
  }

  /** Every table, index and trigger stands there word for word as a fresh store has it. */
  private void schema(Connection connection) throws SQLException {
    Set<String> here = objects(connection);
    try (Connection fresh = DriverManager.getConnection("jdbc:sqlite::memory:")) {
      Schema.bringUp(fresh);
      for (String object : objects(fresh)) {
        if (!here.contains(object)) {
          found(Kind.SCHEMA, "is missing, or not as it was made: " + object);
        }
      }
    }
  }

  private static Set<String> objects(Connection connection) throws SQLException {
    Set<String> objects = new LinkedHashSet<>();
    try (Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery(
                "SELECT type || ' ' || name || ': ' || coalesce(sql, '') FROM sqlite_master")) {
      while (row.next()) {
        objects.add(row.getString(1));
      }
    }
    return objects;
  }

  private void chain(Connection connection) throws SQLException {
    known = KnownDamage.in(connection);
    ChainCheck check = ChainCheck.of(connection, 0, this::event);
    chain = Optional.of(check);
    for (Span span : check.breaks()) {
      if (!known.covers(span)) {
        found(Kind.CHAIN, KnownDamage.words(span) + " missing, or not as written");
      }
    }
    notListed += check.more();
    for (String hash : notedLeft) {
      found(
          Kind.NOTED,
          "no event bears the hash "
              + hash
              + ", which was noted: the end was cut off, or the record was written anew");
    }
  }

  private void event(Chain.Row row, boolean fits) {
    notedLeft.remove(row.hash());
    if (known.covers(new Span(row.seq(), row.seq()))) {
      return;
    }
    try {
      Fact.Event event = codec.read(Fact.Event.class, row.body());
      boolean same =
          event.tank().name().equals(row.tank())
              && event.at().steady().toEpochMilli() == row.steadyMs()
              && event.at().wall().toString().equals(row.wall())
              && EventTable.kind(event).equals(row.kind());
      if (!same && fits) {
        found(Kind.UNREADABLE, "event " + row.seq() + ": body and columns say different things");
      }
    } catch (RecordException e) {
      found(Kind.UNREADABLE, "event " + row.seq() + ": " + e.getMessage());
    }
  }

  /** Every text of settings that an event says was in force is there, and is that text. */
  private void settings(Connection connection) throws SQLException {
    for (String body : EventTable.bodies(connection, DamageNote.SITE, Fact.SettingsChanged.class)) {
      try {
        if (codec.read(Fact.Event.class, body) instanceof Fact.SettingsChanged changed) {
          String hash = settingsHash(connection, changed.fingerprint());
          if (!hash.equals(changed.textSha256())) {
            found(
                Kind.SETTINGS,
                "settings "
                    + changed.fingerprint()
                    + (hash.isEmpty() ? ": the text is missing" : ": the text was altered"));
          }
        }
      } catch (RecordException e) {
        // Said already, as an event that cannot be read.
      }
    }
  }

  private static String settingsHash(Connection connection, String fingerprint)
      throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement("SELECT body FROM settings WHERE fingerprint = ?")) {
      select.setString(1, fingerprint);
      try (ResultSet row = select.executeQuery()) {
        return row.next() ? Chain.hash(row.getString(1)) : "";
      }
    }
  }

  private void states(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery("SELECT tank, part, body, doubt FROM state ORDER BY tank")) {
      while (row.next()) {
        String name = row.getString(1) + ", " + row.getString(2);
        try {
          SqliteRecord.Part part = SqliteRecord.Part.valueOf(row.getString(2));
          codec.read(part.type(), Packed.unpack(row.getBytes(3)));
        } catch (RecordException | IllegalArgumentException e) {
          found(Kind.STATE, name + ": " + e.getMessage());
        }
      }
    }
  }
}
