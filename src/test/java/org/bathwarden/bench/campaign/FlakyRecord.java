package org.bathwarden.bench.campaign;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.record.Commit;
import org.bathwarden.record.ForwardingRecord;
import org.bathwarden.record.SqliteRecord;

/**
 * A record on the disk as a process sees it: what it was handed is written later, in order, at the
 * latest when someone waits for it; fails while the disk is full; and is lost if the process is
 * killed before. Every commit is an effect.
 */
final class FlakyRecord extends ForwardingRecord {

  private static final long PATIENCE_S = 60;
  private static final long LAG_MS = 2_000;

  private final SqliteRecord disk;
  private final Plant plant;
  private final Troubles troubles;
  private final Effects effects;
  private final List<Durable> durable;
  private final Deque<Round> waiting = new ArrayDeque<>();

  /** An event that was reported durable, and the plant's time, ms, at which it was handed over. */
  record Durable(Fact.Event event, long atMs) {}

  private record Round(List<Fact> facts, long atMs, Later done) {}

  private final class Later extends CompletableFuture<Commit.Durable> {

    /** Waiting makes it happen, unless the disk does not answer. */
    @Override
    public Commit.Durable get(long timeout, TimeUnit unit) throws TimeoutException {
      if (!isDone() && slow()) {
        throw new TimeoutException();
      }
      while (!isDone()) {
        commitOldest();
      }
      return getNow(Commit.Durable.LATE);
    }
  }

  /**
   * A record over {@code disk}.
   *
   * @param durable takes the events that become durable
   */
  FlakyRecord(
      SqliteRecord disk, Plant plant, Troubles troubles, Effects effects, List<Durable> durable) {
    super(disk);
    this.disk = disk;
    this.plant = plant;
    this.troubles = troubles;
    this.effects = effects;
    this.durable = durable;
  }

  @Override
  public Commit append(List<Fact> round) {
    effects.next();
    if (round.isEmpty()) {
      return disk.append(round);
    }
    tellOrders(round);
    Round handed = new Round(List.copyOf(round), plant.nowMs(), new Later());
    if (failing()) {
      handed.done().complete(Commit.Durable.FAILED);
    } else {
      waiting.addLast(handed);
      writeWhatIsOld();
    }
    return new Commit(handed.done());
  }

  /** Strikes that wait for an order strike the process that is struck, at its orders. */
  private void tellOrders(List<Fact> round) {
    for (Fact fact : round) {
      if (fact instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.OrderPrepared prepared) {
        effects.ordered(prepared.tank());
      }
    }
  }

  private boolean failing() {
    return effects.struck()
        && (troubles.on(StrikeKind.DISK_FULL) || troubles.on(StrikeKind.READ_ONLY));
  }

  private boolean slow() {
    return effects.struck() && troubles.on(StrikeKind.DISK_SLOW);
  }

  /** The writer's thread, which has its own pace. */
  void writeWhatIsOld() {
    while (!waiting.isEmpty()
        && !slow()
        && (failing() || plant.nowMs() - waiting.peekFirst().atMs() >= LAG_MS)) {
      commitOldest();
    }
  }

  private void commitOldest() {
    effects.next();
    Round round = waiting.removeFirst();
    Commit.Durable result =
        failing()
            ? Commit.Durable.FAILED
            : disk.append(round.facts())
                .await(System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_S));
    if (result == Commit.Durable.DURABLE) {
      for (Fact fact : round.facts()) {
        if (fact instanceof Fact.Event event) {
          durable.add(new Durable(event, round.atMs()));
        }
      }
    }
    round.done().complete(result);
    effects.next();
  }

  /** Everything that was handed over is written. */
  void writeAll() {
    List<Round> all = new ArrayList<>(waiting);
    all.forEach(round -> commitOldest());
  }
}
