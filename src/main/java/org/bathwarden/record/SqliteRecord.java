package org.bathwarden.record;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.TimeUnit;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.StateSnapshot;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateSnapshot;
import org.bathwarden.line.TankImage;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** The record in one SQLite file. Methods may be called from any thread. */
public final class SqliteRecord implements Record {

  private static final Logger LOG = LoggerFactory.getLogger(SqliteRecord.class);
  private static final long CALL_TIMEOUT_S = 10;

  private final Store store;
  private final Codec codec = new Codec();
  private final EventTable events = new EventTable(codec);

  SqliteRecord(Store store) {
    this.store = store;
  }

  /**
   * Opens the record at {@code file}, or makes it. Of a damaged one what can be read is kept, the
   * rest is named, and the file is set aside.
   *
   * @throws RecordException if another process has it, if it is another program's file, or if it is
   *     of a newer version; the message names the file and the remedy
   */
  public static SqliteRecord open(Path file) throws RecordException {
    return open(file, Retention.DEFAULT, Instant.now());
  }

  /**
   * The same with bounds of one's own and at a given time.
   *
   * @param wall now, wall time; stands in the name and the note of a damaged store
   */
  public static SqliteRecord open(Path file, Retention retention, Instant wall)
      throws RecordException {
    return new SqliteRecord(Store.open(file, retention, wall));
  }

  @Override
  public Commit append(List<Fact> round) {
    if (round.isEmpty()) {
      return Commit.OF_NOTHING;
    }
    List<Store.Change> changes = new ArrayList<>(round.size());
    for (Fact fact : round) {
      store.housekeeping().reached(fact.at().steady());
      // Written as JSON by the writer's thread, so that the scan does not wait for it.
      changes.add(connection -> change(fact).apply(connection));
    }
    return store.write(changes);
  }

  private Store.Change change(Fact fact) {
    if (fact instanceof Fact.Event event) {
      return connection -> events.append(connection, event);
    }
    if (fact instanceof Fact.ImageKept kept) {
      return series("image", fact, codec.write(TankImage.class, kept.image()));
    }
    if (fact instanceof Fact.EstimateKept kept) {
      return series("estimate", fact, codec.write(Estimate.class, kept.estimate()));
    }
    if (fact instanceof Fact.StateKept kept) {
      return state(fact, Part.STATE, codec.write(StateSnapshot.class, kept.state()));
    }
    if (fact instanceof Fact.AlarmKept kept) {
      return state(fact, Part.ALARM, codec.write(AlarmState.class, kept.state()));
    }
    if (fact instanceof Fact.EstimatorKept kept) {
      return state(fact, Part.ESTIMATOR, codec.write(EstimateSnapshot.class, kept.state()));
    }
    return pass((Fact.PassKept) fact);
  }

  private static Store.Change series(String table, Fact fact, String body) {
    return connection ->
        Sql.update(
            connection,
            "INSERT OR REPLACE INTO " + table + "(tank, steady_ms, wall, body) VALUES (?, ?, ?, ?)",
            fact.tank().name(),
            fact.at().steady().toEpochMilli(),
            fact.at().wall().toString(),
            body);
  }

  private static Store.Change state(Fact fact, Part part, String body) {
    byte[] packed = Packed.pack(body);
    return connection ->
        Sql.update(
            connection,
            "INSERT OR REPLACE INTO state(tank, part, steady_ms, wall, body) VALUES (?, ?, ?, ?, ?)",
            fact.tank().name(),
            part.name(),
            fact.at().steady().toEpochMilli(),
            fact.at().wall().toString(),
            packed);
  }

  private Store.Change pass(Fact.PassKept fact) {
    byte[] packed = Packed.pack(codec.write(Fact.PassKept.class, fact));
    return connection ->
        Sql.update(
            connection,
            "INSERT INTO pass(tank, steady_ms, wall, fingerprint, body) VALUES (?, ?, ?, ?, ?)",
            fact.tank().name(),
            fact.at().steady().toEpochMilli(),
            fact.at().wall().toString(),
            fact.fingerprint(),
            packed);
  }

  @Override
  public Loaded load(TankId tank) throws RecordException {
    List<String> damaged = new ArrayList<>();
    Optional<Kept<StateSnapshot>> small = state(tank, Part.STATE, StateSnapshot.class, damaged);
    Optional<String> unreadable = damaged.stream().findFirst();
    return new Loaded(
        small,
        state(tank, Part.ALARM, AlarmState.class, damaged),
        state(tank, Part.ESTIMATOR, EstimateSnapshot.class, damaged),
        List.copyOf(damaged),
        unreadable.isPresent() ? unreadable : doubt(tank));
  }

  /** A doubt stands with the state, or, if there is none, alone. */
  private Optional<String> doubt(TankId tank) throws RecordException {
    return store
        .read(
            connection -> {
              try (PreparedStatement select =
                  connection.prepareStatement(
                      "SELECT coalesce((SELECT doubt FROM state WHERE tank = ? AND part = 'STATE'),"
                          + " (SELECT what FROM doubt ORDER BY rowid DESC LIMIT 1), '')")) {
                select.setString(1, tank.name());
                try (ResultSet row = select.executeQuery()) {
                  return row.next() ? Optional.of(row.getString(1)) : Optional.<String>empty();
                }
              }
            })
        .filter(text -> !text.isEmpty());
  }

  private <T> Optional<Kept<T>> state(TankId tank, Part part, Class<T> type, List<String> damaged)
      throws RecordException {
    Optional<Kept<byte[]>> packed =
        store.read(
            connection -> {
              try (PreparedStatement select =
                  connection.prepareStatement(
                      "SELECT steady_ms, body FROM state WHERE tank = ? AND part = ?")) {
                select.setString(1, tank.name());
                select.setString(2, part.name());
                try (ResultSet row = select.executeQuery()) {
                  return row.next()
                      ? Optional.of(
                          new Kept<>(Instant.ofEpochMilli(row.getLong(1)), row.getBytes(2)))
                      : Optional.empty();
                }
              }
            });
    if (packed.isEmpty()) {
      return Optional.empty();
    }
    try {
      T value = codec.read(type, Packed.unpack(packed.get().value()));
      return Optional.of(new Kept<>(packed.get().steady(), value));
    } catch (RecordException e) {
      damaged.add(part + ": " + e.getMessage());
      return Optional.empty();
    }
  }

  @Override
  public List<TankImage> images(TankId tank, Instant from, Instant to) throws RecordException {
    List<String> bodies =
        store.read(
            connection -> {
              try (PreparedStatement select =
                  connection.prepareStatement(
                      "SELECT body FROM image WHERE tank = ? AND steady_ms BETWEEN ? AND ?"
                          + " ORDER BY steady_ms")) {
                select.setString(1, tank.name());
                select.setLong(2, from.toEpochMilli());
                select.setLong(3, to.toEpochMilli());
                List<String> found = new ArrayList<>();
                try (ResultSet row = select.executeQuery()) {
                  while (row.next()) {
                    found.add(row.getString(1));
                  }
                }
                return found;
              }
            });
    List<TankImage> images = new ArrayList<>(bodies.size());
    for (String body : bodies) {
      try {
        images.add(codec.read(TankImage.class, body));
      } catch (RecordException e) {
        // One reading less; the start must not fail for it.
        LOG.warn("tank {}: an image is left out: {}", tank, e.getMessage());
      }
    }
    return images;
  }

  @Override
  public Optional<Now> latest() throws RecordException {
    return store.read(
        connection -> {
          try (PreparedStatement select =
                  connection.prepareStatement(
                      "SELECT steady_ms, wall FROM (SELECT steady_ms, wall FROM state UNION ALL"
                          + " SELECT steady_ms, wall FROM (SELECT steady_ms, wall FROM event ORDER"
                          + " BY seq DESC LIMIT 1)) ORDER BY steady_ms DESC LIMIT 1");
              ResultSet row = select.executeQuery()) {
            return row.next()
                ? Optional.of(
                    new Now(Instant.ofEpochMilli(row.getLong(1)), Instant.parse(row.getString(2))))
                : Optional.empty();
          }
        });
  }

  @Override
  public List<StoredEvent> eventsSince(long sequence, int max) throws RecordException {
    return events.select(
        store, "SELECT seq, body FROM event WHERE seq > ? ORDER BY seq LIMIT ?", sequence, max);
  }

  @Override
  public List<StoredEvent> unpublished(long sequence, int max) throws RecordException {
    return events.select(
        store,
        "SELECT seq, body FROM event JOIN outbox USING (seq) WHERE seq > ? ORDER BY seq LIMIT ?",
        sequence,
        max);
  }

  @Override
  public OptionalLong unpublishedCount() {
    try {
      return OptionalLong.of(
          store.read(
              connection -> {
                try (PreparedStatement select =
                        connection.prepareStatement("SELECT count(*) FROM outbox");
                    ResultSet row = select.executeQuery()) {
                  row.next();
                  return row.getLong(1);
                }
              }));
    } catch (RecordException e) {
      return OptionalLong.empty();
    }
  }

  @Override
  public Optional<String> shortOfRoom() {
    return store.housekeeping().shortOfRoom();
  }

  @Override
  public void published(long sequence) {
    store.write(
        List.of(
            connection -> Sql.update(connection, "DELETE FROM outbox WHERE seq = ?", sequence)));
  }

  @Override
  public boolean firstSeen(String id, Instant wall) throws RecordException {
    boolean[] first = new boolean[1];
    durable(
        "the id of a request",
        connection ->
            first[0] =
                Sql.update(
                        connection,
                        "INSERT OR IGNORE INTO request(id, wall) VALUES (?, ?)",
                        id,
                        wall.toString())
                    == 1);
    return first[0];
  }

  @Override
  public void keepSettings(TankId site, Now at, String fingerprint, String text)
      throws RecordException {
    durable(
        "the settings",
        connection -> {
          Sql.update(
              connection,
              "INSERT OR IGNORE INTO settings(fingerprint, wall, body) VALUES (?, ?, ?)",
              fingerprint,
              at.wall().toString(),
              text);
          String before = settingsInForce(connection, site);
          if (!before.equals(fingerprint)) {
            String hash = Chain.hash(text);
            events.append(
                connection, new Fact.SettingsChanged(site, at, fingerprint, hash, before));
          }
        });
  }

  private String settingsInForce(Connection connection, TankId site) throws SQLException {
    List<String> bodies = EventTable.bodies(connection, site, Fact.SettingsChanged.class);
    if (bodies.isEmpty()) {
      return "";
    }
    try {
      Fact.Event last = codec.read(Fact.Event.class, bodies.get(bodies.size() - 1));
      return last instanceof Fact.SettingsChanged changed ? changed.fingerprint() : "";
    } catch (RecordException e) {
      return "";
    }
  }

  private void durable(String what, Store.Change change) throws RecordException {
    Commit.Durable result =
        store
            .write(List.of(change))
            .await(System.nanoTime() + TimeUnit.SECONDS.toNanos(CALL_TIMEOUT_S));
    if (result != Commit.Durable.DURABLE) {
      throw new RecordException(
          what + " could not be made durable (" + result + "); look at the disk of the record");
    }
  }

  @Override
  public void close() {
    store.close();
  }

  /** Parts of a state that are stored apart. */
  enum Part {
    STATE(StateSnapshot.class),
    ALARM(AlarmState.class),
    ESTIMATOR(EstimateSnapshot.class);

    private final Class<?> type;

    Part(Class<?> type) {
      this.type = type;
    }

    Class<?> type() {
      return type;
    }
  }
}
