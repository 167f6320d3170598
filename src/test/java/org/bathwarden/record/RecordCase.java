package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;

/** A store in a folder of its own. */
abstract class RecordCase {

  static final Yard YARD = new Yard();

  @TempDir Path folder = Path.of("");
  Path file = Path.of("");

  @BeforeAll
  static void run() {
    YARD.eventful();
  }

  @BeforeEach
  void name() {
    file = folder.resolve("store.db");
  }

  static Commit.Durable durable(Commit commit) {
    return commit.await(System.nanoTime() + TimeUnit.SECONDS.toNanos(20));
  }

  static void append(Record record, List<Fact> facts) {
    assertEquals(Commit.Durable.DURABLE, durable(record.append(facts)));
  }

  static Fact.Event event(int n) {
    TankId tank = new TankId("t");
    Now at = Now.at(Yard.T0.plusSeconds(n));
    return new Fact.Dosed(new DosingEvent.Tripped(tank, at, "i" + n, "words"));
  }

  void stored() throws RecordException {
    try (SqliteRecord record = SqliteRecord.open(file)) {
      append(record, YARD.facts);
    }
  }

  void sql(String sql) throws SQLException {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement()) {
      statement.execute(sql);
    }
  }
}
