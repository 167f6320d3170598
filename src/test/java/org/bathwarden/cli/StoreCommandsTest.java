package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.Statement;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.record.Commit;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Backup, verify and restore at the command line. */
class StoreCommandsTest {

  private static final Instant T0 = Instant.parse("2026-03-02T06:00:00Z");

  @TempDir private Path folder = Path.of("");
  private Path config = Path.of("");
  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  @BeforeEach
  void store() throws Exception {
    config = folder.resolve("yard.yaml");
    Files.writeString(config, "record: {file: yard.db}\n");
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("yard.db"))) {
      record.keepSettings(new TankId("site"), Now.at(T0), "abc", "site: Yard\n");
      List<Fact> facts = new ArrayList<>();
      for (int n = 0; n < 5; n++) {
        Now at = Now.at(T0.plusSeconds(n));
        facts.add(new Fact.Dosed(new DosingEvent.Tripped(new TankId("t"), at, "i" + n, "w")));
      }
      long by = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
      assertEquals(Commit.Durable.DURABLE, record.append(facts).await(by));
    }
  }

  private int run(String... args) {
    out.getBuffer().setLength(0);
    err.getBuffer().setLength(0);
    return Main.commandLine()
        .setOut(new PrintWriter(out, true))
        .setErr(new PrintWriter(err, true))
        .execute(args);
  }

  private JsonNode verified(int exit) throws Exception {
    assertEquals(exit, run("verify", "--config", config.toString(), "--json"), err.toString());
    return new ObjectMapper().readTree(out.toString());
  }

  /** As someone with a tool for SQLite would; the service guards its own writing only. */
  private void tamper(String... sql) throws Exception {
    try (Connection connection =
            DriverManager.getConnection("jdbc:sqlite:" + folder.resolve("yard.db"));
        Statement statement = connection.createStatement()) {
      for (String each : sql) {
        statement.execute(each);
      }
    }
  }

  @Test
  void aSoundRecordIsVerifiedAndItsHashPrinted() throws Exception {
    JsonNode found = verified(0);
    assertEquals(6, found.get("events").asInt());
    assertEquals(6, found.get("newest_event").asInt());
    assertEquals(0, found.get("findings").size());
    String hash = found.get("newest_hash").asText();
    assertEquals(0, run("verify", "--config", config.toString(), "--noted", hash));
    assertTrue(
        out.toString().contains("nothing wrong; 6 events, newest 6, hash " + hash), out.toString());
  }

  @Test
  void eachKindOfTamperingIsFoundAndNamed() throws Exception {
    List<List<String>> ways =
        List.of(
            List.of(
                "chain",
                "DROP TRIGGER event_not_changed",
                "UPDATE event SET body = replace(body, 'i2', 'i7') WHERE seq = 4"),
            List.of("chain", "DROP TRIGGER event_not_removed", "DELETE FROM event WHERE seq = 4"),
            List.of("schema", "DROP TRIGGER event_not_removed"),
            List.of("schema", "DROP INDEX event_by_tank"),
            List.of("settings", "UPDATE settings SET body = 'site: Other'"),
            List.of("settings", "DELETE FROM settings"),
            List.of(
                "unreadable",
                "DROP TRIGGER event_not_changed",
                "UPDATE event SET body = '{}' WHERE seq = 3"),
            List.of("state", "INSERT INTO state VALUES ('t', 'STATE', 1, 'w', x'00', '')"),
            List.of("file", "PRAGMA user_version = 1"),
            List.of("file", "PRAGMA application_id = 7"));
    byte[] sound = Files.readAllBytes(folder.resolve("yard.db"));
    for (List<String> way : ways) {
      Files.write(folder.resolve("yard.db"), sound);
      tamper(way.subList(1, way.size()).toArray(String[]::new));
      JsonNode found = verified(1);
      assertTrue(
          found.get("findings").findValuesAsText("kind").contains(way.get(0)), way + " " + found);
      assertEquals(1, run("verify", "--config", config.toString()));
      assertTrue(out.toString().contains(way.get(0) + ": "), out.toString());
    }
  }

  @Test
  void aTailCutWithEveryTraceIsFoundByTheNotedHash() throws Exception {
    String hash = verified(0).get("newest_hash").asText();
    tamper(
        "DROP TRIGGER event_not_removed",
        "DELETE FROM outbox WHERE seq > 4",
        "DELETE FROM event WHERE seq > 4",
        "UPDATE sqlite_sequence SET seq = 4 WHERE name = 'event'",
        "CREATE TRIGGER event_not_removed BEFORE DELETE ON event"
            + " BEGIN SELECT RAISE(ABORT, 'an event is never removed'); END");
    assertEquals(
        "noted", verified(1).get("findings").get(0).get("kind").asText(), "by its own note");
    Files.delete(folder.resolve("yard.db.lock"));
    verified(0);
    assertEquals(1, run("verify", "--config", config.toString(), "--noted", hash));
    assertTrue(out.toString().contains("noted: no event bears the hash " + hash), out.toString());
    assertEquals(2, run("verify", "--config", config.toString(), "--noted", "abc"));
    assertEquals(2, run("verify"));
  }

  @Test
  void aBackupIsVerifiedNamedByTheTimeAndRestored() throws Exception {
    Path backups = Files.createDirectory(folder.resolve("backups"));
    assertEquals(
        0,
        run("backup", "--config", config.toString(), "--to", backups.toString()),
        err.toString());
    assertTrue(out.toString().contains("nothing wrong; 6 events"), out.toString());
    Path backup;
    try (Stream<Path> all = Files.list(backups)) {
      backup = all.toList().get(0);
    }
    assertEquals(0, run("verify", "--file", backup.toString()), out.toString());
    assertEquals(1, run("backup", "--config", config.toString(), "--to", backup.toString()));
    assertEquals(1, run("restore", "--config", config.toString(), "--from", backup.toString()));
    assertTrue(err.toString().contains("is not overwritten"), err.toString());
    Path machine = Files.createDirectory(folder.resolve("machine"));
    Path other = machine.resolve("yard.yaml");
    Files.copy(config, other);
    assertEquals(
        0,
        run("restore", "--config", other.toString(), "--from", backup.toString()),
        err.toString());
    assertEquals(0, run("verify", "--config", other.toString()));
    assertTrue(out.toString().contains("6 events"), out.toString());
    assertEquals(1, run("verify", "--file", folder.resolve("none.db").toString()));
  }
}
