package org.bathwarden.service;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.function.Predicate;
import org.bathwarden.cycle.Fact;
import org.bathwarden.record.Commit;
import org.bathwarden.record.ForwardingRecord;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.SqliteRecord;

/** A record on the disk that takes no round, or holds every one up, while it is told to. */
final class FailingRecord extends ForwardingRecord {

  private final SqliteRecord sound;
  private final SqliteRecord closed;
  private final List<Held> held = new ArrayList<>();
  private boolean holds;
  private Predicate<List<Fact>> fails = round -> false;

  FailingRecord(Path folder) throws RecordException {
    this(SqliteRecord.open(folder.resolve("demo.db")), folder);
  }

  private FailingRecord(SqliteRecord sound, Path folder) throws RecordException {
    super(sound);
    this.sound = sound;
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
}
