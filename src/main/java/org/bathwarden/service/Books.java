package org.bathwarden.service;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.Iterator;
import java.util.List;
import org.bathwarden.cycle.Fact;
import org.bathwarden.record.Commit;
import org.bathwarden.record.Record;

/**
 * Hands the rounds of one scan thread to the record and keeps, within bounds, the events of rounds
 * that failed, so that they are stored once the record works again. For that thread only.
 */
final class Books {

  /** Events kept while the record fails; older ones are given up and counted. */
  static final int EVENTS_KEPT_MAX = 2000;

  /** A round not on the disk after so long counts as a failure. */
  private static final Duration LATE = Duration.ofSeconds(5);

  private final Record record;
  private final Deque<Round> open = new ArrayDeque<>();
  private final Deque<Fact> backlog = new ArrayDeque<>();
  private long givenUp;
  private boolean healthy = true;

  Books(Record record) {
    this.record = record;
  }

  private record Round(Commit commit, List<Fact> facts, long sinceNanos) {}

  /** Whether the last rounds reached the disk in time. */
  boolean healthy() {
    settle();
    return healthy;
  }

  long givenUp() {
    return givenUp;
  }

  /** Appends a round, with what earlier ones could not store before it. */
  Commit append(List<Fact> facts) {
    settle();
    List<Fact> round = new ArrayList<>(backlog);
    backlog.clear();
    round.addAll(facts);
    Commit commit = record.append(round);
    open.addLast(new Round(commit, round, System.nanoTime()));
    return commit;
  }

  private void settle() {
    boolean late = false;
    for (Iterator<Round> rounds = open.iterator(); rounds.hasNext(); ) {
      Round round = rounds.next();
      switch (round.commit().now()) {
        case DURABLE -> {
          healthy = true;
          rounds.remove();
        }
        case FAILED -> {
          healthy = false;
          rounds.remove();
          round.facts().stream().filter(Fact.Event.class::isInstance).forEach(backlog::addLast);
          while (backlog.size() > EVENTS_KEPT_MAX) {
            backlog.removeFirst();
            givenUp++;
          }
        }
        case LATE -> late |= System.nanoTime() - round.sinceNanos() > LATE.toNanos();
      }
    }
    if (late) {
      healthy = false;
    }
  }
}
