package org.bathwarden.service;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashSet;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.LongSupplier;
import org.bathwarden.cycle.Fact;
import org.bathwarden.record.Commit;
import org.bathwarden.record.Record;

/**
 * Hands the rounds of one scan thread to the record and keeps, within bounds, the events of rounds
 * that failed, so that they are stored once the record works again, and the states that go with
 * them. For that thread only.
 */
final class Books {

  /** Events kept while the record fails; older ones are given up and counted. */
  static final int EVENTS_KEPT_MAX = 2000;

  /** A round not on the disk after so long counts as a failure. */
  static final Duration LATE = Duration.ofSeconds(5);

  /**
   * The same until the first round is on the disk: a process that starts on a busy machine is slow
   * by itself, and the store was written once before the first round began.
   */
  static final Duration LATE_AT_START = Duration.ofSeconds(60);

  private final Record record;
  private final LongSupplier nanoTime;
  private final Deque<Round> open = new ArrayDeque<>();
  private final Deque<Fact> backlog = new ArrayDeque<>();

  /** Last states of rounds that failed: an event must not be stored without what it led to. */
  private final Map<List<Object>, Fact> states = new LinkedHashMap<>();

  private long givenUp;
  private boolean healthy = true;
  private boolean started;
  private long startedNanos;

  /**
   * Empty books.
   *
   * @param nanoTime the monotonic clock, ns
   */
  Books(Record record, LongSupplier nanoTime) {
    this.record = record;
    this.nanoTime = nanoTime;
  }

  private record Round(Commit commit, List<Fact> facts, long sinceNanos) {}

  /** Whether the last rounds that had something to store reached the disk in time. */
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
    if (!backlog.isEmpty()) {
      round.addAll(statesToStore());
      backlog.clear();
      states.clear();
    }
    round.addAll(facts);
    Commit commit = record.append(round);
    if (!round.isEmpty()) {
      open.addLast(new Round(commit, round, nanoTime.getAsLong()));
    }
    return commit;
  }

  /** Not those of which a round on its way holds a later one. */
  private List<Fact> statesToStore() {
    Set<List<Object>> onTheirWay = new HashSet<>();
    open.forEach(r -> r.facts().stream().map(Books::key).forEach(onTheirWay::add));
    return states.entrySet().stream()
        .filter(state -> !onTheirWay.contains(state.getKey()))
        .map(Map.Entry::getValue)
        .toList();
  }

  private static List<Object> key(Fact fact) {
    return List.of(fact.getClass(), fact.tank());
  }

  private static boolean isState(Fact fact) {
    return fact instanceof Fact.StateKept
        || fact instanceof Fact.AlarmKept
        || fact instanceof Fact.EstimatorKept;
  }

  private void settle() {
    boolean late = false;
    for (Iterator<Round> rounds = open.iterator(); rounds.hasNext(); ) {
      Round round = rounds.next();
      switch (round.commit().now()) {
        case DURABLE -> {
          healthy = true;
          started();
          rounds.remove();
          round.facts().stream().map(Books::key).forEach(states::remove);
        }
        case FAILED -> {
          healthy = false;
          rounds.remove();
          round.facts().stream().filter(Fact.Event.class::isInstance).forEach(backlog::addLast);
          round.facts().stream().filter(Books::isState).forEach(f -> states.put(key(f), f));
          while (backlog.size() > EVENTS_KEPT_MAX) {
            backlog.removeFirst();
            givenUp++;
          }
        }
        case LATE -> late |= late(round);
      }
    }
    if (late) {
      healthy = false;
    }
  }

  private void started() {
    if (!started) {
      started = true;
      startedNanos = nanoTime.getAsLong();
    }
  }

  /** Rounds that waited behind the first one are late only from there on. */
  private boolean late(Round round) {
    long now = nanoTime.getAsLong();
    return started
        ? now - Math.max(round.sinceNanos(), startedNanos) > LATE.toNanos()
        : now - round.sinceNanos() > LATE_AT_START.toNanos();
  }
}
