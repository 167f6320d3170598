package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.record.Commit;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** When the record counts as failing: practice table, "store failing". The limits are judgement. */
class BooksTest {

  private static final TankId TANK = new TankId("degrease-1");
  private static final List<Fact> ROUND =
      List.of(new Fact.AlarmKept(TANK, Now.at(Instant.EPOCH), AlarmState.initial(TANK)));

  @TempDir Path folder = Path.of("");

  private FailingRecord record;
  private Books books;
  private long nanos;

  @BeforeEach
  void open() throws Exception {
    record = new FailingRecord(folder);
    books = new Books(record, () -> nanos);
  }

  @AfterEach
  void close() {
    record.holdUp(false);
    record.close();
  }

  private void pass(Duration time) {
    nanos += time.toNanos();
  }

  private static void onDisk(Commit commit) {
    long patience = System.nanoTime() + TimeUnit.SECONDS.toNanos(30);
    assertEquals(Commit.Durable.DURABLE, commit.await(patience));
  }

  @Test
  void aSlowFirstRoundIsTheStartsAndNotTheStores() {
    record.holdUp(true);
    Commit first = books.append(ROUND);
    pass(Duration.ofSeconds(20));
    Commit second = books.append(ROUND);
    pass(Duration.ofSeconds(20));
    assertTrue(books.healthy());
    record.holdUp(false);
    onDisk(first);
    onDisk(second);
    assertTrue(books.healthy());
  }

  @Test
  void whatWaitedBehindTheFirstRoundIsNotLateEither() {
    record.holdUp(true);
    books.append(ROUND);
    books.append(ROUND);
    pass(Duration.ofSeconds(20));
    record.letOneThrough();
    assertTrue(books.healthy(), "its turn comes only now");
    pass(Books.LATE);
    assertTrue(books.healthy());
    pass(Duration.ofNanos(1));
    assertFalse(books.healthy());
  }

  @Test
  void aStoreThatHangsFromTheStartIsFoundOut() {
    record.holdUp(true);
    books.append(ROUND);
    pass(Books.LATE_AT_START);
    assertTrue(books.healthy());
    pass(Duration.ofNanos(1));
    assertFalse(books.healthy());
  }

  @Test
  void onceARoundIsOnTheDiskFiveSecondsAreTheLimit() {
    onDisk(books.append(ROUND));
    assertTrue(books.healthy());
    record.holdUp(true);
    Commit late = books.append(ROUND);
    pass(Books.LATE);
    assertTrue(books.healthy());
    pass(Duration.ofNanos(1));
    assertFalse(books.healthy());
    record.holdUp(false);
    onDisk(late);
    assertTrue(books.healthy());
  }

  @Test
  void aRoundThatFailsAtTheStartIsAFailure() {
    record.fails(round -> true);
    Commit failed = books.append(ROUND);
    assertEquals(Commit.Durable.FAILED, failed.await(System.nanoTime()));
    assertFalse(books.healthy());
  }

  /** Otherwise a process killed after it would find the event, and a state from before it. */
  @Test
  void anEventThatIsStoredLateBringsTheStateThatItLedTo() throws Exception {
    Now later = Now.at(Instant.EPOCH.plusSeconds(7));
    Fact event = new Fact.Dosed(new DosingEvent.CommandLeft(TANK, later));
    record.fails(round -> true);
    books.append(List.of(event, new Fact.AlarmKept(TANK, later, AlarmState.initial(TANK))));
    record.fails(round -> false);
    onDisk(books.append(List.of()));
    assertEquals(1, record.eventsSince(0, 10).size());
    assertEquals(later.steady(), record.load(TANK).alarm().orElseThrow().steady());
  }

  @Test
  void anEmptyRoundSaysNothingAboutTheDisk() {
    record.fails(round -> true);
    books.append(ROUND);
    assertFalse(books.healthy());
    record.fails(round -> false);
    onDisk(books.append(List.of()));
    assertFalse(books.healthy(), "nothing was written");
    onDisk(books.append(ROUND));
    assertTrue(books.healthy());
  }
}
