package org.bathwarden.service;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.function.Predicate;
import org.bathwarden.cycle.Fact;
import org.bathwarden.line.TankImage;
import org.bathwarden.record.Commit;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/** A record on the disk that takes no round, or holds every one up, while it is told to. */
final class FailingRecord implements Record {

  private final SqliteRecord sound;
  private final SqliteRecord closed;
  private final List<Held> held = new ArrayList<>();
  private boolean holds;
  private Predicate<List<Fact>> fails = round -> false;

  FailingRecord(Path folder) throws RecordException {
    this.sound = SqliteRecord.open(folder.resolve("demo.db"));
    this.closed = SqliteRecord.open(folder.resolve("closed.db"));
    closed.close();
  }

  /** Which rounds are not taken from now on. */
  void fails(Predicate<List<Fact>> which) {
    fails = which;
  }

  private record Held(List<Fact> round, CompletableFuture<Commit.Durable> done) {}

  /** Whether rounds wait from now on; at the end all that waited go to the disk, in their order. */
  void holdUp(boolean whether) {
    holds = whether;
    while (!holds && !held.isEmpty()) {
      letOneThrough();
    }
  }

  /** The round that has waited longest goes to the disk. */
  void letOneThrough() {
    Held first = held.remove(0);
    long patience = System.nanoTime() + TimeUnit.SECONDS.toNanos(30);
    first.done().complete(sound.append(first.round()).await(patience));
  }

  @Override
  public Commit append(List<Fact> round) {
    if (holds) {
      Held waiting = new Held(round, new CompletableFuture<>());
      held.add(waiting);
      return new Commit(waiting.done());
    }
    return (fails.test(round) ? closed : sound).append(round);
  }

  @Override
  public Loaded load(TankId tank) throws RecordException {
    return sound.load(tank);
  }

  @Override
  public List<TankImage> images(TankId tank, Instant from, Instant to) throws RecordException {
    return sound.images(tank, from, to);
  }

  @Override
  public Optional<Now> latest() throws RecordException {
    return sound.latest();
  }

  @Override
  public List<StoredEvent> eventsSince(long sequence, int max) throws RecordException {
    return sound.eventsSince(sequence, max);
  }

  @Override
  public List<StoredEvent> unpublished(long sequence, int max) throws RecordException {
    return sound.unpublished(sequence, max);
  }

  @Override
  public OptionalLong unpublishedCount() {
    return sound.unpublishedCount();
  }

  @Override
  public Optional<String> shortOfRoom() {
    return sound.shortOfRoom();
  }

  @Override
  public void published(long sequence) {
    sound.published(sequence);
  }

  @Override
  public boolean firstSeen(String id, Instant wall) throws RecordException {
    return sound.firstSeen(id, wall);
  }

  @Override
  public void keepSettings(TankId site, Now at, String fingerprint, String text)
      throws RecordException {
    sound.keepSettings(site, at, fingerprint, text);
  }

  @Override
  public void close() {
    sound.close();
  }
}
