package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A backup of a large record holds up no round of the writer, and holds whole rounds only. */
class BackupUnderWayTest {

  private static final int ROUND = 5;

  @TempDir private Path folder = Path.of("");

  private static List<Fact> round(int number, int letters) {
    List<Fact> facts = new ArrayList<>();
    for (int i = 0; i < ROUND; i++) {
      Now at = Now.at(Instant.EPOCH.plusSeconds((long) number * ROUND + i));
      String words = "w".repeat(letters);
      facts.add(new Fact.Dosed(new DosingEvent.Tripped(new TankId("t"), at, "n", words)));
    }
    return facts;
  }

  private static Commit.Durable append(Record record, List<Fact> facts) {
    return record.append(facts).await(System.nanoTime() + TimeUnit.SECONDS.toNanos(20));
  }

  @Test
  void theWriterGoesOnWhileABackupIsMade() throws Exception {
    Path file = folder.resolve("store.db");
    Path backup = folder.resolve("backup.db");
    try (SqliteRecord record = SqliteRecord.open(file)) {
      for (int n = 0; n < 40; n++) {
        assertEquals(Commit.Durable.DURABLE, append(record, round(n, 200_000)));
      }
      CompletableFuture<Verification> made =
          CompletableFuture.supplyAsync(
              () -> {
                try {
                  return Backup.make(file, backup);
                } catch (RecordException e) {
                  throw new IllegalStateException(e);
                }
              });
      long longest = 0;
      int rounds = 0;
      while (!made.isDone()) {
        long start = System.nanoTime();
        assertEquals(Commit.Durable.DURABLE, append(record, round(100 + rounds++, 100)));
        longest = Math.max(longest, System.nanoTime() - start);
      }
      Verification found = made.get();
      assertTrue(rounds > 3, rounds + " rounds meanwhile");
      System.out.printf(
          "backup of %d MB: %d rounds meanwhile, the longest took %d ms%n",
          Files.size(backup) >> 20, rounds, longest / 1_000_000);
      // A round later than this counts as a failing record.
      assertTrue(longest < TimeUnit.SECONDS.toNanos(5), longest + " ns");
      assertEquals(0, found.events() % ROUND, "whole rounds");
      assertTrue(found.events() >= 40 * ROUND);
      assertEquals(
          List.of(), Verification.of(file, Optional.of(found.newestHash())).findings(), "its end");
    }
  }
}
