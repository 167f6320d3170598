package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.UnaryOperator;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Pass;
import org.bathwarden.cycle.PassInput;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.TankState;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.line.TankImage;
import org.bathwarden.record.Backup;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.RecordReader;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.record.Verification;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A backup made while the controller runs takes its place on an empty machine. */
class BackupTest {

  @TempDir private Path folder = Path.of("");

  @Test
  void aRestoredBackupGoesOnAsTheRecordItWasTakenFrom() throws Exception {
    try (Simulation plant = Stage.plant()) {
      Configuration configuration =
          Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity());
      Path backup = folder.resolve("backup.db");
      Path elsewhere = Files.createDirectory(folder.resolve("elsewhere")).resolve("demo.db");
      Now now;
      try (SqliteRecord record = SqliteRecord.open(configuration.record());
          Stage stage = new Stage(plant, configuration, record)) {
        stage.seconds(20);
        stage.titrate();
        stage.until("an order on the weak tank", 120, () -> stage.runs(Stage.WEAK));
        stage.seconds(5);
        now = stage.now();
        Verification made = Backup.make(configuration.record(), backup);
        assertEquals(List.of(), made.findings());
        assertEquals(Set.of("demo.db", "backup.db"), databases());
        // The machine is gone at this moment; the other one is empty.
        Backup.restore(backup, elsewhere);
        try (SqliteRecord restored = SqliteRecord.open(elsewhere)) {
          assertEquals(record.eventsSince(0, 10_000), restored.eventsSince(0, 10_000));
          assertEquals(record.latest(), restored.latest());
          try (RecordReader here = RecordReader.open(configuration.record());
              RecordReader there = RecordReader.open(elsewhere)) {
            assertFalse(here.orders().isEmpty());
            assertEquals(here.orders(), there.orders());
          }
          for (Configuration.Tank tank : configuration.tanks()) {
            same(tank, record, restored, now);
          }
        }
      }
    }
  }

  private Set<String> databases() throws Exception {
    try (var all = Files.list(folder)) {
      return new java.util.TreeSet<>(
          all.map(path -> path.getFileName().toString())
              .filter(name -> name.endsWith(".db") || name.endsWith(".part"))
              .toList());
    }
  }

  /** The same estimate, orders and alarms, and the same next pass. */
  private static void same(Configuration.Tank tank, Record record, Record restored, Now now)
      throws Exception {
    TankState here = new Restore(record, now).tank(tank);
    TankState there = new Restore(restored, now).tank(tank);
    assertEquals(here.snapshot(), there.snapshot());
    assertEquals(
        Estimator.estimate(tank.sheet().estimator(), here.estimate()),
        Estimator.estimate(tank.sheet().estimator(), there.estimate()));
    List<TankImage> images = record.images(tank.id(), Instant.EPOCH, now.steady());
    PassInput input =
        new PassInput(
            images.get(images.size() - 1),
            List.of(),
            List.of(),
            false,
            new Surroundings(true, Set.of(), 0, false, false),
            Set.of(),
            now);
    PassResult next = Pass.run(tank.sheet(), here, input);
    PassResult nextThere = Pass.run(tank.sheet(), there, input);
    assertEquals(next.facts(), nextThere.facts());
    assertEquals(next.writes(), nextThere.writes());
    assertEquals(next.alarms(), nextThere.alarms());
    assertEquals(next.view(), nextThere.view());
  }

  @Test
  void aBackupFromBeforeTheLastOrdersDosesNothingUntilAnEngineerResynchronises() throws Exception {
    try (Simulation plant = Stage.plant()) {
      Configuration configuration =
          Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity());
      Path backup = folder.resolve("backup.db");
      try (SqliteRecord record = SqliteRecord.open(configuration.record());
          Stage stage = new Stage(plant, configuration, record)) {
        stage.seconds(20);
        stage.titrate();
        Backup.make(configuration.record(), backup);
        stage.until("an order on the weak tank", 120, () -> stage.runs(Stage.WEAK));
        stage.untilOrdersAreFinal();
      }
      Configuration other =
          configuration.with(configuration.lines(), folder.resolve("r.db"), Optional.empty());
      Backup.restore(backup, other.record());
      try (SqliteRecord record = SqliteRecord.open(other.record());
          Stage stage = new Stage(plant, other, record)) {
        long taken = stage.plc(Stage.WEAK, FromPlc.ORDER_TAKEN);
        stage.seconds(900);
        assertTrue(stage.acts(Stage.WEAK, Cause.ORDER_BOOK_DISAGREES));
        assertEquals(Mode.PROPOSE, stage.last(Stage.WEAK).after().dosing().mode());
        assertEquals(taken, stage.plc(Stage.WEAK, FromPlc.ORDER_TAKEN));
        List<TankId> ordered =
            stage.dosed(DosingEvent.OrderPrepared.class).stream()
                .map(DosingEvent.OrderPrepared::tank)
                .filter(Stage.WEAK::equals)
                .toList();
        assertEquals(List.of(), ordered);
      }
    }
  }

  @Test
  void aBackupNeverOverwritesAndADamagedOneIsNotRestored() throws Exception {
    Path record = folder.resolve("record.db");
    SqliteRecord.open(record).close();
    Path backup = folder.resolve("backup.db");
    Backup.make(record, backup);
    refused("is not overwritten", () -> Backup.make(record, backup));
    refused("is not overwritten", () -> Backup.restore(backup, record));
    byte[] bytes = Files.readAllBytes(backup);
    Files.write(backup, java.util.Arrays.copyOf(bytes, bytes.length - 1));
    Path fresh = folder.resolve("fresh.db");
    refused("something is wrong", () -> Backup.restore(backup, fresh));
    assertFalse(Files.exists(fresh));
    refused("there is none to back up", () -> Backup.make(fresh, folder.resolve("b2.db")));
    assertFalse(Files.exists(folder.resolve("b2.db")));
  }

  private static void refused(String words, org.junit.jupiter.api.function.Executable what) {
    RecordException refused = assertThrows(RecordException.class, what);
    assertTrue(String.valueOf(refused.getMessage()).contains(words), refused.getMessage());
  }
}
