package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.Statement;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Fact.Span;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A torn or altered store: what is intact is kept, the rest is named, the file is set aside. */
class DamagedStoreTest {

  private static final Yard YARD = new Yard();
  private static final Instant LATER = Yard.T0.plusSeconds(86_400);
  private static final int PAGE = 4096;

  @TempDir private static Path whole = Path.of("");
  private static List<Record.StoredEvent> events = List.of();

  @TempDir private Path folder = Path.of("");
  private Path file = Path.of("");

  @BeforeAll
  static void run() throws Exception {
    YARD.eventful();
    try (SqliteRecord record = SqliteRecord.open(whole.resolve("store.db"))) {
      append(record, YARD.facts);
      events = record.eventsSince(0, 10_000);
    }
  }

  @BeforeEach
  void copy() throws IOException {
    file = folder.resolve("store.db");
    for (String name : List.of("store.db", "store.db.lock")) {
      Files.copy(whole.resolve(name), folder.resolve(name));
    }
  }

  private static void append(Record record, List<Fact> facts) {
    Commit commit = record.append(facts);
    long by = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
    assertEquals(Commit.Durable.DURABLE, commit.await(by));
  }

  private List<Path> aside() throws IOException {
    try (Stream<Path> all = Files.list(folder)) {
      return all.filter(path -> path.getFileName().toString().contains(".damaged-"))
          .filter(path -> !path.toString().endsWith("-wal") && !path.toString().endsWith("-shm"))
          .toList();
    }
  }

  /** Opens the store and holds what it gives against what went in; the note it wrote, if it did. */
  private Optional<Fact.RecordDamaged> opened() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(file, Retention.DEFAULT, LATER)) {
      List<Record.StoredEvent> found = new ArrayList<>(record.eventsSince(0, 10_000));
      Optional<Fact.RecordDamaged> note = Optional.empty();
      if (found.get(found.size() - 1).event() instanceof Fact.RecordDamaged damaged) {
        note = Optional.of(damaged);
        found.remove(found.size() - 1);
      }
      List<Span> lost = note.map(Fact.RecordDamaged::events).orElse(List.of());
      for (Record.StoredEvent was : events) {
        boolean same = found.contains(was);
        boolean named =
            lost.stream().anyMatch(s -> s.covers(new Span(was.sequence(), was.sequence())));
        assertTrue(same || named, "neither kept nor named: " + was);
      }
      Record.Loaded loaded = record.load(YARD.id());
      if (note.isPresent()) {
        assertTrue(loaded.doubt().isPresent(), "a damaged record is not relied on");
      } else if (loaded.doubt().isEmpty()) {
        assertEquals(last().state(), loaded.state().orElseThrow().value());
      }
      assertEquals(0, record.images(YARD.id(), Yard.T0, Yard.T0).size());
      append(record, List.of(YARD.facts.get(YARD.facts.size() - 1)));
      return note;
    }
  }

  private static Fact.StateKept last() {
    return YARD.facts.stream()
        .filter(Fact.StateKept.class::isInstance)
        .map(Fact.StateKept.class::cast)
        .reduce((a, b) -> b)
        .orElseThrow();
  }

  /** A start that found damage leaves a store in which the next one finds none. */
  private void nextStartIsQuiet() throws Exception {
    int before = aside().size();
    try (SqliteRecord record = SqliteRecord.open(file, Retention.DEFAULT, LATER.plusSeconds(60))) {
      long notes =
          record.eventsSince(0, 10_000).stream()
              .filter(stored -> stored.event() instanceof Fact.RecordDamaged)
              .count();
      assertTrue(notes <= 1, notes + " notes");
    }
    assertEquals(before, aside().size());
  }

  private void cut(long length) throws IOException {
    try (RandomAccessFile store = new RandomAccessFile(file.toFile(), "rw")) {
      store.setLength(length);
    }
  }

  @Test
  void aStoreThatIsWholeIsLeftAlone() throws Exception {
    assertEquals(Optional.empty(), opened());
    assertEquals(List.of(), aside());
  }

  @Test
  void aTruncatedStoreIsSalvagedAndSetAsideAsItIs() throws Exception {
    long length = Files.size(file);
    List<Integer> kept = new ArrayList<>();
    for (long left :
        List.of(length - 1, length - PAGE, length / 2, 3L * PAGE, 5000L, 100L, 99L, 1L, 0L)) {
      Files.copy(
          whole.resolve("store.db"), file, java.nio.file.StandardCopyOption.REPLACE_EXISTING);
      Files.copy(
          whole.resolve("store.db.lock"),
          folder.resolve("store.db.lock"),
          java.nio.file.StandardCopyOption.REPLACE_EXISTING);
      cut(left);
      byte[] damaged = Files.readAllBytes(file);
      assertThrows(RecordException.class, () -> RecordReader.open(file).close());
      Fact.RecordDamaged note = opened().orElseThrow();
      Path moved = folder.resolve(note.aside());
      assertArrayEquals(damaged, Files.readAllBytes(moved));
      long lost = note.events().stream().mapToLong(s -> s.to() - s.from() + 1).sum();
      kept.add((int) (events.size() - lost));
      nextStartIsQuiet();
      Files.delete(moved);
    }
    assertTrue(kept.get(1) > 0, "of a store that lacks its last page something is kept: " + kept);
    assertEquals(0, kept.get(kept.size() - 1));
  }

  @Test
  void aFlippedByteAnywhereLosesNothingUnnamed() throws Exception {
    byte[] sound = Files.readAllBytes(file);
    byte[] lock = Files.readAllBytes(folder.resolve("store.db.lock"));
    Random random = new Random(20260302);
    List<String> bodies = bodies();
    for (int i = 0; i < 24; i++) {
      byte[] bytes = sound.clone();
      int mask = 1 << random.nextInt(7);
      boolean inEvent = i % 3 == 0;
      if (inEvent) {
        // In each place where the text stands: pages keep copies of what once stood there.
        String body = bodies.get(random.nextInt(bodies.size()));
        int ahead = random.nextInt(body.length());
        String all = new String(sound, StandardCharsets.ISO_8859_1);
        for (int at = all.indexOf(body); at >= 0; at = all.indexOf(body, at + 1)) {
          bytes[at + ahead] ^= (byte) mask;
        }
      } else {
        // Half of the rest in the first pages, where schema and tree roots are.
        int at = random.nextInt(i % 3 == 1 ? 12 * PAGE : bytes.length);
        bytes[at] ^= (byte) mask;
      }
      Files.write(file, bytes);
      Files.write(folder.resolve("store.db.lock"), lock);
      Optional<Fact.RecordDamaged> note = opened();
      assertTrue(note.isPresent() || !inEvent, "an altered event is found");
      for (Path moved : aside()) {
        assertArrayEquals(bytes, Files.readAllBytes(moved), "flip " + i);
      }
      nextStartIsQuiet();
      for (Path moved : aside()) {
        Files.delete(moved);
      }
    }
  }

  /** Beginnings of bodies of events that stand in one piece in the file. */
  private List<String> bodies() throws Exception {
    String all = new String(Files.readAllBytes(file), StandardCharsets.ISO_8859_1);
    List<String> found = new ArrayList<>();
    try (Connection connection = Sql.look(whole.resolve("store.db"));
        Statement statement = connection.createStatement();
        ResultSet rows = statement.executeQuery("SELECT substr(body, 1, 150) FROM event")) {
      while (rows.next()) {
        if (all.contains(rows.getString(1))) {
          found.add(rows.getString(1));
        }
      }
    }
    assertTrue(found.size() > events.size() / 2, found.size() + " of " + events.size());
    return found;
  }

  @Test
  void ruinedPagesCostOnlyWhatStoodOnThem() throws Exception {
    byte[] bytes = Files.readAllBytes(file);
    int ruined = 0;
    for (int at = bytes.length / 4 / PAGE * PAGE; at < bytes.length; at += 60 * PAGE) {
      Arrays.fill(bytes, at, at + PAGE, (byte) 0xA5);
      ruined++;
    }
    Files.write(file, bytes);
    Fact.RecordDamaged note = opened().orElseThrow();
    assertTrue(ruined > 1);
    assertTrue(note.lost().get(0).startsWith("damaged: "), note.lost().toString());
    assertArrayEquals(bytes, Files.readAllBytes(folder.resolve(note.aside())));
    nextStartIsQuiet();
  }

  @Test
  void aLostWriteAheadLogIsFoundThoughTheFileIsWhole() throws Exception {
    Path live = folder.resolve("live.db");
    Path copy = folder.resolve("copy.db");
    Files.copy(file, live);
    try (SqliteRecord record = SqliteRecord.open(live)) {
      append(record, YARD.facts.subList(0, 200));
      // As a crash leaves it, but for the log.
      Files.copy(live, copy);
      Files.copy(folder.resolve("live.db.lock"), folder.resolve("copy.db.lock"));
    }
    file = copy;
    Fact.RecordDamaged note = opened().orElseThrow();
    assertEquals("", note.aside());
    assertEquals(1, note.events().size());
    assertEquals(events.size() + 1, note.events().get(0).from());
    assertTrue(note.lost().get(0).contains("write-ahead log"), note.lost().toString());
    nextStartIsQuiet();
  }

  @Test
  void withItsLogACrashedStoreIsWhole() throws Exception {
    Path live = folder.resolve("live.db");
    Path copy = folder.resolve("copy.db");
    try (SqliteRecord record = SqliteRecord.open(live)) {
      append(record, YARD.facts);
      Files.copy(live, copy);
      Files.copy(Aside.log(live), Aside.log(copy));
      Files.copy(folder.resolve("live.db.lock"), folder.resolve("copy.db.lock"));
    }
    file = copy;
    assertEquals(Optional.empty(), opened());
  }

  @Test
  void aStoreThatIsGoneIsMissed() throws Exception {
    Files.delete(file);
    Fact.RecordDamaged note = opened().orElseThrow();
    assertEquals(List.of(new Span(1, events.size())), note.events());
  }

  @Test
  void anOlderStoreInItsPlaceIsFound() throws Exception {
    byte[] older = Files.readAllBytes(file);
    try (SqliteRecord record = SqliteRecord.open(file)) {
      append(record, YARD.facts.subList(0, 200));
    }
    Files.write(file, older);
    assertTrue(opened().orElseThrow().lost().get(0).contains("older file"));
  }

  @Test
  void anotherProgramsDatabaseIsLeftAlone() throws Exception {
    for (boolean openedBefore : List.of(true, false)) {
      Files.deleteIfExists(file);
      try (Connection connection = Sql.open(file)) {
        Sql.run(connection, "CREATE TABLE invoices(id INTEGER PRIMARY KEY)");
      }
      if (!openedBefore) {
        Files.delete(folder.resolve("store.db.lock"));
      }
      byte[] before = Files.readAllBytes(file);
      RecordException refused =
          assertThrows(RecordException.class, () -> SqliteRecord.open(file).close());
      assertTrue(
          String.valueOf(refused.getMessage()).contains("another program's database"),
          refused.getMessage());
      assertArrayEquals(before, Files.readAllBytes(file));
      assertEquals(List.of(), aside());
    }
  }

  @Test
  void aNewerVersionIsLeftAlone() throws Exception {
    try (Connection connection = Sql.open(file)) {
      Sql.run(connection, "PRAGMA user_version = 99");
    }
    byte[] before = Files.readAllBytes(file);
    assertThrows(RecordException.class, () -> SqliteRecord.open(file).close());
    assertArrayEquals(before, Files.readAllBytes(file));
    assertEquals(List.of(), aside());
  }

  @Test
  void aSalvageThatWasInterruptedIsFinished() throws Exception {
    byte[] salvaged = Files.readAllBytes(file);
    Files.write(Aside.ready(file, "20260302T060000000Z"), salvaged);
    Files.writeString(Aside.log(file), "a log of the damaged file");
    cut(100);
    opened();
    Path moved = Aside.moved(file, "20260302T060000000Z");
    assertEquals(100, Files.size(moved));
    assertTrue(Files.exists(Aside.log(moved)), "its log goes with it");
    assertFalse(Files.exists(Aside.ready(file, "20260302T060000000Z")));
    nextStartIsQuiet();
  }
}
