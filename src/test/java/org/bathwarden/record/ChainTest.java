package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Fact.Span;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Every event is tied to the one before it. */
class ChainTest {

  private static final int EVENTS = 20;

  @TempDir private Path folder = Path.of("");
  private Path file = Path.of("");

  @BeforeEach
  void store() throws Exception {
    file = folder.resolve("store.db");
    try (SqliteRecord record = SqliteRecord.open(file)) {
      List<Fact> round = new ArrayList<>();
      for (int n = 1; n <= EVENTS; n++) {
        Now at = Now.at(Yard.T0.plusSeconds(n));
        round.add(new Fact.Dosed(new DosingEvent.Tripped(new TankId("t"), at, "i" + n, "words")));
        if (n % 4 == 0) {
          Commit commit = record.append(round);
          long by = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
          assertEquals(Commit.Durable.DURABLE, commit.await(by));
          round.clear();
        }
      }
    }
  }

  /**
   * Expected values by Python's hashlib and struct over the bytes that {@link Chain#hash} names.
   */
  @Test
  void theHashIsThatOfTheBytesItNames() {
    String first =
        Chain.hash(
            Chain.START,
            1,
            "wäsche",
            1772431201000L,
            "2026-03-02T06:00:01Z",
            "Tripped",
            "{\"a\":1}");
    assertEquals("d450273fa28430b079849a53664d9702a8201aeda333047382b3c4b87627f2f4", first);
    String second =
        Chain.hash(first, 2, "wäsche", 1772431202000L, "2026-03-02T06:00:02Z", "Tripped", "{}");
    assertEquals("f705639996c50a5d2f81217fa20a0d32080f3a594469ebe72ce9016d5879a94c", second);
  }

  private ChainCheck check(String... tampering) throws SQLException {
    try (Connection connection = Sql.open(file)) {
      for (String sql : tampering) {
        Sql.run(connection, sql);
      }
      return ChainCheck.of(connection, 0, (row, fits) -> {});
    }
  }

  private static final String UNGUARD_CHANGE = "DROP TRIGGER event_not_changed";
  private static final String UNGUARD_REMOVAL = "DROP TRIGGER event_not_removed";

  @Test
  void anUntouchedChainHasNoBreak() throws Exception {
    ChainCheck check = check();
    assertEquals(List.of(), check.breaks());
    assertEquals(EVENTS, check.events());
    assertEquals(EVENTS, check.newest());
  }

  @Test
  void theStoreItselfRefusesToChangeOrRemoveAnEvent() {
    SQLException changed = thrown("UPDATE event SET body = '{}' WHERE seq = 5");
    assertTrue(String.valueOf(changed.getMessage()).contains("never changed"));
    SQLException removed = thrown("DELETE FROM event WHERE seq = 5");
    assertTrue(String.valueOf(removed.getMessage()).contains("never removed"));
  }

  private SQLException thrown(String sql) {
    return org.junit.jupiter.api.Assertions.assertThrows(SQLException.class, () -> check(sql));
  }

  @Test
  void eachChangedColumnIsFoundAtItsEvent() throws Exception {
    check(UNGUARD_CHANGE);
    for (String change :
        List.of(
            "tank = 'u'",
            "steady_ms = steady_ms + 1",
            "wall = '2026-03-02T06:00:08Z'",
            "kind = 'OrderClosed'",
            "body = replace(body, 'words', 'wards')")) {
      ChainCheck check =
          check(
              "CREATE TABLE was AS SELECT * FROM event WHERE seq = 7",
              "UPDATE event SET " + change + " WHERE seq = 7");
      assertEquals(List.of(new Span(7, 7)), check.breaks(), change);
      check(
          "UPDATE event SET (tank, steady_ms, wall, kind, body) ="
              + " (SELECT tank, steady_ms, wall, kind, body FROM was) WHERE seq = 7",
          "DROP TABLE was");
      assertEquals(List.of(), check().breaks(), "put back");
    }
  }

  @Test
  void aRemovedEventIsFoundWithTheOneThatFollowedIt() throws Exception {
    ChainCheck check = check(UNGUARD_REMOVAL, "DELETE FROM event WHERE seq = 7");
    assertEquals(List.of(new Span(7, 8)), check.breaks());
  }

  @Test
  void anInsertedEventIsFoundThoughItsNumberFits() throws Exception {
    ChainCheck check =
        check(
            UNGUARD_CHANGE,
            "UPDATE event SET seq = seq + 100 WHERE seq > 10",
            "UPDATE event SET seq = seq - 99 WHERE seq > 100",
            "INSERT INTO event SELECT 11, tank, steady_ms, wall, kind, body, hash FROM event"
                + " WHERE seq = 10");
    assertEquals(List.of(new Span(11, EVENTS + 1)), check.breaks());
  }

  @Test
  void exchangedEventsAreFound() throws Exception {
    ChainCheck check =
        check(
            UNGUARD_CHANGE,
            "UPDATE event SET seq = 100 WHERE seq = 3",
            "UPDATE event SET seq = 3 WHERE seq = 9",
            "UPDATE event SET seq = 9 WHERE seq = 100",
            "UPDATE sqlite_sequence SET seq = 20");
    assertEquals(List.of(new Span(3, 4), new Span(9, 10)), check.breaks());
  }

  @Test
  void aTailThatWasCutIsFoundByTheNumbersGivenOut() throws Exception {
    ChainCheck check = check(UNGUARD_REMOVAL, "DELETE FROM event WHERE seq > 15");
    assertEquals(List.of(new Span(16, EVENTS)), check.breaks());
    // Who mends the numbers too is only found by a hash noted elsewhere.
    ChainCheck mended = check("UPDATE sqlite_sequence SET seq = 15 WHERE name = 'event'");
    assertEquals(List.of(), mended.breaks());
    assertEquals(15, mended.newest());
  }

  @Test
  void aWalkFromTheMiddleTakesTheEventBeforeItAsRight() throws Exception {
    check(UNGUARD_CHANGE, "UPDATE event SET body = '{}' WHERE seq = 4");
    try (Connection connection = Sql.open(file)) {
      ChainCheck late = ChainCheck.of(connection, 10, (row, fits) -> {});
      assertEquals(List.of(), late.breaks());
      assertEquals(EVENTS - 10, late.events());
    }
  }

  @Test
  void aStoreFromBeforeTheChainIsTiedWhenItIsOpened() throws Exception {
    Path old = folder.resolve("old.db");
    try (Connection connection = Sql.open(old)) {
      Schema.MIGRATIONS.get(0).run(connection);
      Sql.run(connection, "PRAGMA user_version = 1");
      for (int n = 1; n <= 3; n++) {
        Sql.run(
            connection,
            "INSERT INTO event(tank, steady_ms, wall, kind, body) VALUES ('t', 1, 'w', 'k', '{}')");
      }
    }
    SqliteRecord.open(old).close();
    try (Connection connection = Sql.open(old)) {
      ChainCheck check = ChainCheck.of(connection, 0, (row, fits) -> {});
      assertEquals(List.of(), check.breaks());
      assertEquals(3, check.events());
    }
  }
}
