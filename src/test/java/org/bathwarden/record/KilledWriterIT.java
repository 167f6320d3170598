package org.bathwarden.record;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.File;
import java.io.InputStreamReader;
import java.net.URISyntaxException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A process killed while it writes loses nothing that it was told is durable, and no half round.
 */
class KilledWriterIT {

  /** Events of one round; all are there, or none. */
  private static final int ROUND = 5;

  private static final int KILLS = 4;
  private static final int ROUNDS_BEFORE_KILL = 40;

  @TempDir private Path folder = Path.of("");

  /** Appends rounds without end and prints each one's number once it is durable. */
  static final class Writer {
    private Writer() {}

    /** Writes into the store that the first argument names. */
    public static void main(String[] args) throws RecordException {
      try (SqliteRecord record = SqliteRecord.open(Path.of(args[0]))) {
        int round = record.eventsSince(0, Integer.MAX_VALUE).size() / ROUND;
        while (true) {
          List<Fact> facts = new ArrayList<>();
          for (int i = 0; i < ROUND; i++) {
            facts.add(event(round * ROUND + i));
          }
          Commit commit = record.append(facts);
          if (commit.await(System.nanoTime() + TimeUnit.SECONDS.toNanos(20))
              != Commit.Durable.DURABLE) {
            throw new IllegalStateException("round " + round + ": " + commit.now());
          }
          System.out.println(round++);
        }
      }
    }
  }

  private static Fact event(int n) {
    Now at = Now.at(Instant.EPOCH.plusSeconds(n));
    return new Fact.Dosed(new DosingEvent.Tripped(new TankId("t"), at, "n" + n, "words"));
  }

  @Test
  void whatWasDurableSurvivesTheKillAndRoundsStayWhole() throws Exception {
    Path file = folder.resolve("store.db");
    int written = 0;
    for (int kill = 0; kill < KILLS; kill++) {
      int last = writeAndKill(file);
      try (SqliteRecord record = SqliteRecord.open(file)) {
        List<Fact> stored =
            record.eventsSince(0, Integer.MAX_VALUE).stream()
                .map(event -> (Fact) event.event())
                .toList();
        assertTrue(stored.size() >= (last + 1) * ROUND, last + " " + stored.size());
        assertEquals(0, stored.size() % ROUND);
        List<Fact> expected = new ArrayList<>();
        for (int n = 0; n < stored.size(); n++) {
          expected.add(event(n));
        }
        assertEquals(expected, stored);
        assertEquals(stored.size(), record.unpublishedCount().orElseThrow());
        assertTrue(stored.size() > written);
        written = stored.size();
      }
    }
  }

  /** Whatever started this test, the child needs only these. */
  private static String classPath() throws URISyntaxException {
    List<Class<?>> needed =
        List.of(
            KilledWriterIT.class,
            SqliteRecord.class,
            org.sqlite.JDBC.class,
            org.slf4j.Logger.class,
            com.fasterxml.jackson.databind.ObjectMapper.class,
            com.fasterxml.jackson.core.JsonFactory.class,
            com.fasterxml.jackson.annotation.JsonTypeInfo.class,
            com.fasterxml.jackson.datatype.jdk8.Jdk8Module.class,
            com.fasterxml.jackson.datatype.jsr310.JavaTimeModule.class);
    Set<String> places = new LinkedHashSet<>();
    for (Class<?> each : needed) {
      places.add(
          Path.of(each.getProtectionDomain().getCodeSource().getLocation().toURI()).toString());
    }
    return String.join(File.pathSeparator, places);
  }

  /** Number of the last round that the writer saw durable before it was killed. */
  private static int writeAndKill(Path file) throws Exception {
    Process writer =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                classPath(),
                Writer.class.getName(),
                file.toString())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    int last = -1;
    try (BufferedReader lines =
        new BufferedReader(new InputStreamReader(writer.getInputStream(), UTF_8))) {
      int seen = 0;
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        last = Integer.parseInt(line);
        if (++seen == ROUNDS_BEFORE_KILL) {
          // SIGKILL, by the handle: Process itself would close the pipe, which is read to its end.
          writer.toHandle().destroyForcibly();
        }
      }
      assertTrue(seen >= ROUNDS_BEFORE_KILL, "the writer ended by itself after " + seen);
    }
    assertTrue(writer.waitFor(20, TimeUnit.SECONDS));
    return last;
  }
}
