package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The store thins out with age and stays within its limit; quality records never go. */
class RetentionTest {

  private static final Yard YARD = new Yard();
  private static final Instant START = Instant.parse("2026-03-02T00:00:00Z");
  private static final long MB = 1L << 20;

  @TempDir private Path folder = Path.of("");

  @BeforeAll
  static void run() {
    YARD.eventful();
  }

  private static <T extends Fact> T one(Class<T> kind) {
    return YARD.facts.stream().filter(kind::isInstance).map(kind::cast).findFirst().orElseThrow();
  }

  /** Five minutes of readings, with a state, an event and a pass. */
  private static List<Fact> fiveMinutes(Instant from, int letters) {
    List<Fact> facts = new ArrayList<>();
    Fact.ImageKept image = one(Fact.ImageKept.class);
    Fact.EstimateKept estimate = one(Fact.EstimateKept.class);
    for (int s = 0; s < 300; s += 10) {
      Now at = Now.at(from.plusSeconds(s));
      facts.add(new Fact.ImageKept(YARD.id(), at, image.image()));
      facts.add(new Fact.EstimateKept(YARD.id(), at, estimate.estimate()));
    }
    Now end = Now.at(from.plusSeconds(290));
    Fact.PassKept pass = one(Fact.PassKept.class);
    facts.add(
        new Fact.PassKept(
            YARD.id(),
            end,
            pass.fingerprint(),
            pass.before(),
            pass.estimateBefore(),
            pass.input()));
    facts.add(new Fact.StateKept(YARD.id(), end, one(Fact.StateKept.class).state()));
    facts.add(
        new Fact.Dosed(new DosingEvent.Tripped(YARD.id(), end, "interlock", "w".repeat(letters))));
    return facts;
  }

  private static void append(Record record, List<Fact> facts) {
    Commit commit = record.append(facts);
    long by = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
    assertEquals(Commit.Durable.DURABLE, commit.await(by));
  }

  private static List<Long> times(Connection connection, String table) throws Exception {
    try (Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery("SELECT steady_ms FROM " + table + " ORDER BY steady_ms")) {
      List<Long> times = new ArrayList<>();
      while (row.next()) {
        times.add(row.getLong(1));
      }
      return times;
    }
  }

  @Test
  void readingsThinOutWithAgeAndEventsStay() throws Exception {
    Path file = folder.resolve("store.db");
    Retention retention =
        new Retention(Duration.ofHours(6), Duration.ofHours(20), Duration.ofHours(3), 4000 * MB, 0);
    int rounds = 30 * 12;
    try (SqliteRecord record = SqliteRecord.open(file, retention, START)) {
      assertTrue(record.firstSeen("old", START.minus(Housekeeping.IDS)));
      assertTrue(record.firstSeen("young", START));
      for (int n = 0; n < rounds; n++) {
        append(record, fiveMinutes(START.plusSeconds(300L * n), 10));
      }
      // The one writer takes this after the last thinning.
      assertTrue(record.firstSeen("old", START), "was forgotten");
      assertTrue(!record.firstSeen("young", START), "is still known");
      assertEquals(Optional.empty(), record.shortOfRoom());
    }
    long now = START.plusSeconds(300L * (rounds - 1) + 290).toEpochMilli();
    try (Connection connection = Sql.look(file)) {
      for (String table : List.of("image", "estimate")) {
        List<Long> kept = times(connection, table);
        long full = kept.stream().filter(t -> t >= now - Duration.ofHours(6).toMillis()).count();
        assertEquals(6 * 360 + 1, full, table + ": the last 6 h as they came");
        List<Long> older =
            kept.stream().filter(t -> t < now - Duration.ofHours(6).toMillis() - 300_000).toList();
        assertTrue(
            older.stream().allMatch(t -> t % 300_000 == 0),
            "the first of each bucket: "
                + older.stream()
                    .filter(t -> t % 300_000 != 0)
                    .map(t -> (t - START.toEpochMilli()) / 1000)
                    .toList());
        assertEquals(14 * 12, older.size(), 2, table + ": one in five minutes for 14 h more");
        assertTrue(kept.get(0) >= now - Duration.ofHours(20).toMillis() - 600_000);
      }
      assertEquals(3 * 12, times(connection, "pass").size(), 2, "passes of the last 3 h");
      assertEquals(rounds, times(connection, "event").size(), "every event");
    }
    assertEquals(List.of(), Verification.of(file, Optional.empty()).findings());
  }

  @Test
  void nearTheLimitTheRestGoesAndThenItIsSaidButNoQualityRecordGoes() throws Exception {
    Path file = folder.resolve("small.db");
    long limit = 12 * MB;
    Retention retention =
        new Retention(Duration.ofDays(7), Duration.ofDays(400), Duration.ofDays(60), limit, 0);
    int rounds = 0;
    try (SqliteRecord record = SqliteRecord.open(file, retention, START)) {
      long largest = 0;
      while (record.shortOfRoom().isEmpty()) {
        append(record, fiveMinutes(START.plusSeconds(300L * rounds++), 50_000));
        assertTrue(rounds < 1000, "never said");
        try (Connection connection = Sql.look(file)) {
          long used = Housekeeping.used(connection);
          largest = Math.max(largest, used);
        }
      }
      assertTrue(record.shortOfRoom().orElseThrow().contains("never removed"));
      assertTrue(largest < limit + 2 * MB, largest + " bytes");
      assertEquals(rounds, record.eventsSince(0, 10_000).size());
      // It goes on: nothing is refused, nothing of quality is lost.
      for (int n = 0; n < 20; n++) {
        append(record, fiveMinutes(START.plusSeconds(300L * rounds++), 50_000));
      }
      assertEquals(rounds, record.eventsSince(0, 10_000).size());
    }
    try (Connection connection = Sql.look(file)) {
      List<Long> images = times(connection, "image");
      long youngest = START.plusSeconds(300L * rounds).minus(Housekeeping.YOUNGEST).toEpochMilli();
      assertEquals(0, images.stream().filter(t -> t < youngest - 600_000).count());
      assertTrue(images.size() > 300, "the last hour, which a start runs over");
    }
    assertEquals(List.of(), Verification.of(file, Optional.empty()).findings());
  }

  @Test
  void aDiskNearlyFullIsSaid() throws Exception {
    Retention retention =
        new Retention(
            Duration.ofDays(7), Duration.ofDays(400), Duration.ofDays(60), 64 * MB, 1L << 60);
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("r.db"), retention, START)) {
      append(record, fiveMinutes(START, 10));
      assertTrue(record.firstSeen("behind it", START));
      assertTrue(record.shortOfRoom().orElseThrow().contains("free on the disk"));
    }
  }

  @Test
  void whatNoBrokerTookInAMonthIsNoLongerOfferedButStays() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("o.db"))) {
      TankId tank = new TankId("t");
      Fact first = new Fact.Dosed(new DosingEvent.Tripped(tank, Now.at(START), "i", "w"));
      Instant later = START.plus(Housekeeping.OFFERED).plusSeconds(120);
      Fact second = new Fact.Dosed(new DosingEvent.Tripped(tank, Now.at(later), "i", "w"));
      append(record, List.of(first));
      assertEquals(1, record.unpublishedCount().orElseThrow());
      append(record, List.of(second));
      assertTrue(record.firstSeen("behind it", START));
      assertEquals(1, record.unpublishedCount().orElseThrow());
      assertEquals(2, record.eventsSince(0, 10).size());
    }
  }

  @Test
  void howLargeWhatIs() throws Exception {
    Path file = folder.resolve("sizes.db");
    try (SqliteRecord record = SqliteRecord.open(file)) {
      append(record, YARD.facts);
    }
    try (Connection connection = Sql.look(file)) {
      for (String table : List.of("image", "estimate", "pass", "event", "state")) {
        System.out.printf(
            "%s: %d rows of %d bytes%n",
            table,
            Sql.number(connection, "SELECT count(*) FROM " + table),
            Sql.number(connection, "SELECT avg(length(CAST(body AS BLOB))) FROM " + table));
      }
    }
  }
}
