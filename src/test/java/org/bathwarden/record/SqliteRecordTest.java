package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.line.TankImage;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The store keeps what it took, gives it back, and says clearly what it cannot do. */
class SqliteRecordTest {

  private static final Yard YARD = new Yard();

  @TempDir private Path folder = Path.of("");
  private Path file = Path.of("");

  @BeforeAll
  static void run() {
    YARD.eventful();
  }

  @BeforeEach
  void name() {
    file = folder.resolve("store.db");
  }

  private static Commit.Durable durable(Commit commit) {
    return commit.await(System.nanoTime() + TimeUnit.SECONDS.toNanos(20));
  }

  private static void append(Record record, List<Fact> facts) {
    assertEquals(Commit.Durable.DURABLE, durable(record.append(facts)));
  }

  private static Fact.Event event(int n) {
    TankId tank = new TankId("t");
    Now at = Now.at(Yard.T0.plusSeconds(n));
    return new Fact.Dosed(new DosingEvent.Tripped(tank, at, "i" + n, "words"));
  }

  private static List<Long> sequences(List<Record.StoredEvent> events) {
    return events.stream().map(Record.StoredEvent::sequence).toList();
  }

  private void refused(String... words) {
    RecordException refused =
        assertThrows(RecordException.class, () -> SqliteRecord.open(file).close());
    for (String word : words) {
      assertTrue(refused.getMessage().contains(word), refused.getMessage());
    }
    assertTrue(refused.getMessage().contains(file.toString()), refused.getMessage());
  }

  private void stored() throws RecordException {
    try (SqliteRecord record = SqliteRecord.open(file)) {
      append(record, YARD.facts);
    }
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
  void aSecondUserOfTheStoreIsRefused() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(file)) {
      refused("another process has it open");
      append(record, List.of(event(1)));
    }
    SqliteRecord.open(file).close();
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
  void garbageIsRefusedAndLeftAsItIs() throws Exception {
    Files.writeString(file, "site: North Yard\n".repeat(50), StandardCharsets.UTF_8);
    byte[] before = Files.readAllBytes(file);
    refused("it is no SQLite file");
    assertArrayEquals(before, Files.readAllBytes(file));
  }

  @Test
  void aNewerStoreIsRefused() throws Exception {
    stored();
    sql("PRAGMA user_version = 99");
    refused("is of version 99", "use the newer program");
    assertThrows(RecordException.class, () -> RecordReader.open(file).close());
  }

  private void sql(String sql) throws SQLException {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement()) {
      statement.execute(sql);
    }
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

  @Test
  void aFileWhereTheFolderShouldBeIsSaid() throws IOException {
    Files.writeString(folder.resolve("no-folder"), "");
    file = folder.resolve("no-folder/store.db");
    refused("there is no folder " + folder.resolve("no-folder"));
  }

  @Test
  void ordersAreListedWhileTheServiceHasTheStore() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(file)) {
      List<Fact> untilFirstClosed = new ArrayList<>();
      for (Fact fact : YARD.facts) {
        untilFirstClosed.add(fact);
        if (fact instanceof Fact.Dosed d && d.event() instanceof DosingEvent.OrderPrepared) {
          break;
        }
      }
      append(record, untilFirstClosed);
      try (RecordReader reader = RecordReader.open(file)) {
        List<OrderList.Row> open = reader.orders();
        assertEquals(1, open.size());
        assertEquals(OrderState.OPEN, open.get(0).state());
        assertEquals(0, open.get(0).deliveredMl());
        append(record, YARD.facts.subList(untilFirstClosed.size(), YARD.facts.size()));
        List<OrderList.Row> rows = reader.orders();
        assertTrue(rows.size() >= 2, rows.toString());
        for (OrderList.Row row : rows) {
          assertEquals(YARD.id(), row.tank());
          assertEquals(OrderState.DONE, row.state());
          assertEquals(row.orderedMl(), row.deliveredMl());
          assertEquals(1, row.instance());
        }
        assertEquals(
            Set.of(Product.CONCENTRATE, Product.WATER),
            rows.stream().map(OrderList.Row::product).collect(Collectors.toSet()));
        assertEquals(rows.size(), rows.stream().map(OrderList.Row::number).distinct().count());
      }
    }
  }

  @Test
  void withoutAStoreThereIsNothingToRead() {
    RecordException none =
        assertThrows(RecordException.class, () -> RecordReader.open(file).close());
    assertTrue(none.getMessage().contains("there is none yet"), none.getMessage());
    assertFalse(Files.exists(file), "looking makes nothing");
  }

  /** A slip in the path must not begin a record that knows nothing of the last one's orders. */
  @Test
  void aFolderThatIsNotThereIsNotMade() {
    Path missing = file.resolveSibling("nowhere").resolve("record.db");
    RecordException e =
        assertThrows(RecordException.class, () -> SqliteRecord.open(missing).close());
    assertTrue(
        String.valueOf(e.getMessage()).contains("there is no folder " + missing.getParent()),
        e.getMessage());
    assertFalse(Files.exists(file.resolveSibling("nowhere")));
  }
}
