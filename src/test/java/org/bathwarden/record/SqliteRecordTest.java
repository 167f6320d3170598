package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.bathwarden.cycle.Fact;
import org.bathwarden.line.TankImage;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;

/** The store keeps what it took, gives it back, and says clearly what it cannot do. */
class SqliteRecordTest extends RecordCase {

  private static List<Long> sequences(List<Record.StoredEvent> events) {
    return events.stream().map(Record.StoredEvent::sequence).toList();
  }

  @Test
  void aFreshStoreKnowsNothing() throws Exception {
    file = folder.resolve("fresh.db");
    try (SqliteRecord record = SqliteRecord.open(file)) {
      assertEquals(Optional.empty(), record.latest());
      assertEquals(List.of(), record.eventsSince(0, 10));
      assertEquals(OptionalLong.of(0), record.unpublishedCount());
      Record.Loaded loaded = record.load(YARD.id());
      assertTrue(loaded.state().isEmpty() && loaded.alarm().isEmpty());
      assertTrue(loaded.estimator().isEmpty() && loaded.damaged().isEmpty());
    }
  }

  @Test
  void theLastStatesComeBackEqualAfterARestart() throws Exception {
    stored();
    Fact.StateKept state = last(Fact.StateKept.class);
    Fact.EstimatorKept estimator = last(Fact.EstimatorKept.class);
    try (SqliteRecord record = SqliteRecord.open(file)) {
      Record.Loaded loaded = record.load(YARD.id());
      assertEquals(List.of(), loaded.damaged());
      assertEquals(state.state(), loaded.state().orElseThrow().value());
      assertEquals(estimator.state(), loaded.estimator().orElseThrow().value());
      assertEquals(
          state.at().steady().toEpochMilli(), loaded.state().orElseThrow().steady().toEpochMilli());
      Now latest = record.latest().orElseThrow();
      Fact newest = YARD.facts.get(YARD.facts.size() - 1);
      assertFalse(latest.steady().isBefore(state.at().steady().minusSeconds(1)));
      assertFalse(latest.steady().isAfter(newest.at().steady()));
    }
  }

  private static <T extends Fact> T last(Class<T> kind) {
    return YARD.facts.stream()
        .filter(kind::isInstance)
        .map(kind::cast)
        .reduce((a, b) -> b)
        .orElseThrow();
  }

  @Test
  void imagesComeBackByTimeBothEndsIncluded() throws Exception {
    stored();
    List<TankImage> all =
        YARD.facts.stream()
            .filter(Fact.ImageKept.class::isInstance)
            .map(fact -> ((Fact.ImageKept) fact).image())
            .toList();
    try (SqliteRecord record = SqliteRecord.open(file)) {
      assertEquals(all, record.images(YARD.id(), Yard.T0, Yard.T0.plusSeconds(86400)));
      assertEquals(all.subList(3, 8), record.images(YARD.id(), all.get(3).at(), all.get(7).at()));
      assertEquals(List.of(), record.images(new TankId("other"), Yard.T0, Yard.T0.plusSeconds(9)));
    }
  }

  @Test
  void eventsComeBackInOrderAndInPages() throws Exception {
    List<Fact> events = YARD.facts.stream().filter(Fact.Event.class::isInstance).toList();
    stored();
    try (SqliteRecord record = SqliteRecord.open(file)) {
      List<Fact> paged = new ArrayList<>();
      long after = 0;
      List<Record.StoredEvent> page = record.eventsSince(after, 7);
      while (!page.isEmpty()) {
        for (Record.StoredEvent stored : page) {
          assertTrue(stored.sequence() > after);
          after = stored.sequence();
          paged.add(stored.event());
        }
        page = record.eventsSince(after, 7);
      }
      assertEquals(events, paged);
    }
  }

  @Test
  void anEventStaysUnpublishedUntilTheBrokerHasItAndInTheRecordForGood() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(file)) {
      append(record, List.of(event(1), event(2), event(3)));
      List<Long> all = sequences(record.eventsSince(0, 10));
      assertEquals(all, sequences(record.unpublished(0, 10)));
      assertEquals(OptionalLong.of(3), record.unpublishedCount());
      record.published(all.get(1));
      record.published(all.get(1));
      // The one writer takes this after what was published.
      assertTrue(record.firstSeen("behind it", Instant.EPOCH));
      assertEquals(List.of(all.get(0), all.get(2)), sequences(record.unpublished(0, 10)));
      assertEquals(List.of(all.get(2)), sequences(record.unpublished(all.get(0), 10)));
      assertEquals(List.of(all.get(0)), sequences(record.unpublished(0, 1)));
      assertEquals(all, sequences(record.eventsSince(0, 10)));
    }
    try (SqliteRecord record = SqliteRecord.open(file)) {
      assertEquals(OptionalLong.of(2), record.unpublishedCount());
      append(record, List.of(event(4)));
      assertEquals(4, record.eventsSince(0, 10).size());
    }
  }

  @Test
  void anIdIsNewOnce() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(file)) {
      assertTrue(record.firstSeen("a", Instant.EPOCH));
      assertFalse(record.firstSeen("a", Instant.EPOCH));
      assertTrue(record.firstSeen("b'; DROP TABLE request; --", Instant.EPOCH));
    }
    try (SqliteRecord record = SqliteRecord.open(file)) {
      assertFalse(record.firstSeen("a", Instant.MAX));
    }
  }

  @Test
  void aRoundIsStoredWholeOrNotAtAll() throws Exception {
    try (Store store = Store.open(file, Retention.DEFAULT, Yard.T0)) {
      SqliteRecord record = new SqliteRecord(store);
      Commit broken =
          store.write(
              List.of(
                  connection -> insert(connection, "before"),
                  connection -> {
                    throw new IllegalStateException("a fault in a change");
                  }));
      assertEquals(Commit.Durable.FAILED, durable(broken));
      Commit wrong =
          store.write(
              List.of(
                  connection -> insert(connection, "before"),
                  connection -> {
                    throw new SQLException("a fault in the database");
                  }));
      assertEquals(Commit.Durable.FAILED, durable(wrong));
      assertTrue(record.firstSeen("before", Instant.EPOCH), "nothing of a failed round is left");
    }
  }

  private static void insert(Connection connection, String id) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute("INSERT INTO request(id, wall) VALUES ('" + id + "', 'x')");
    }
  }

  @Test
  void anErrorInARoundLeavesNothingForTheNext() throws Exception {
    try (Store store = Store.open(file, Retention.DEFAULT, Yard.T0)) {
      SqliteRecord record = new SqliteRecord(store);
      Commit broken =
          store.write(
              List.of(
                  connection -> insert(connection, "before"),
                  connection -> {
                    throw new StackOverflowError("too deep");
                  }));
      assertEquals(Commit.Durable.FAILED, durable(broken));
      append(record, List.of(event(1)));
      assertTrue(record.firstSeen("before", Instant.EPOCH));
    }
  }

  @Test
  void appendingWaitsNeitherForTheDiskNorForTheJson() throws Exception {
    try (Store store = Store.open(file, Retention.DEFAULT, Yard.T0)) {
      SqliteRecord record = new SqliteRecord(store);
      CountDownLatch go = new CountDownLatch(1);
      store.write(
          List.of(
              connection -> {
                try {
                  assertTrue(go.await(20, TimeUnit.SECONDS));
                } catch (InterruptedException e) {
                  Thread.currentThread().interrupt();
                }
              }));
      Commit first = record.append(List.of(event(1)));
      assertEquals(Commit.Durable.LATE, first.now());
      assertEquals(
          Commit.Durable.LATE, first.await(System.nanoTime() + Duration.ofMillis(20).toNanos()));
      Commit last = first;
      for (int i = 0; i <= Store.ROUNDS_WAITING_MAX; i++) {
        last = record.append(List.of(event(2)));
      }
      assertEquals(Commit.Durable.FAILED, last.now(), "the queue has an end");
      go.countDown();
      assertEquals(Commit.Durable.DURABLE, durable(first));
    }
  }

  @Test
  void aFullDiskFailsTheRoundAndLosesNothing() throws Exception {
    try (Store store = Store.open(file, Retention.DEFAULT, Yard.T0)) {
      SqliteRecord record = new SqliteRecord(store);
      append(record, List.of(event(1)));
      // SQLite's own limit answers as a full disk does, with SQLITE_FULL.
      limitPages(store, 1);
      assertEquals(Commit.Durable.FAILED, durable(record.append(YARD.facts)));
      assertEquals(1, record.eventsSince(0, 1000).size());
      assertThrows(
          RecordException.class,
          () ->
              record.keepSettings(new TankId("site"), Now.at(Yard.T0), "f", "x".repeat(1_000_000)));
      limitPages(store, 1_000_000);
      append(record, YARD.facts);
      assertTrue(record.eventsSince(0, 1000).size() > 10);
    }
    SqliteRecord.open(file).close();
  }

  private static void limitPages(Store store, int pages) {
    durable(
        store.write(
            List.of(
                connection -> {
                  try (Statement statement = connection.createStatement()) {
                    statement.execute("PRAGMA max_page_count = " + pages);
                  }
                })));
  }

  @Test
  void anUnreadableStateIsNamedAndTheRestComesBack() throws Exception {
    stored();
    sql("UPDATE state SET body = x'0102' WHERE part = 'ESTIMATOR'");
    try (SqliteRecord record = SqliteRecord.open(file)) {
      Record.Loaded loaded = record.load(YARD.id());
      assertTrue(loaded.state().isPresent());
      assertTrue(loaded.estimator().isEmpty());
      assertEquals(1, loaded.damaged().size());
      assertTrue(loaded.damaged().get(0).startsWith("ESTIMATOR: "), loaded.damaged().toString());
    }
  }
}
