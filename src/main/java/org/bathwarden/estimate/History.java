package org.bathwarden.estimate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.Entry;

/**
 * Adds steps and entries to a history and runs again what a late entry changes. The result depends
 * on the readings and on the set of entries, not on the order or the time in which these arrived.
 */
final class History {

  /** Longest step, ms. */
  static final long STEP_MILLIS = 60_000;

  private static final long KEPT_MILLIS = 48 * 3_600_000L;
  private static final int BLOCK_STEPS = 60;

  /** Most steps that a gap is divided into. */
  private static final int GAP_STEPS = 3000;

  /** How far ahead of the latest sample an entry's time may lie: two clocks never agree exactly. */
  private static final long AHEAD_MILLIS = 120_000;

  private final Filter filter;
  private final List<EstimateState.Block> blocks;
  private Belief now;

  /** Whether {@link #now} is nobody else's, so that the next step may change it in place. */
  private boolean nowIsOurs;

  private List<Entry> entries;
  private final List<Presumed> presumed;
  private final FindingLog log;
  private final long keptMillis;
  private long latestMillis;

  History(Filter filter, EstimateState before) {
    this(filter, before, KEPT_MILLIS);
  }

  /** A history that forgets nothing. */
  static History unlimited(Filter filter, EstimateState before) {
    return new History(filter, before, Long.MAX_VALUE / 2);
  }

  private History(Filter filter, EstimateState before, long keptMillis) {
    this.keptMillis = keptMillis;
    this.filter = filter;
    blocks = new ArrayList<>(before.blocks());
    now = before.now();
    entries = before.entries();
    presumed = new ArrayList<>(before.presumed());
    log = new FindingLog(before.findings());
    latestMillis = now.atMillis();
  }

  EstimateState state(Partial partial) {
    nowIsOurs = false;
    return new EstimateState(
        Collections.unmodifiableList(new ArrayList<>(blocks)),
        now,
        partial,
        entries,
        List.copyOf(presumed),
        log.settle(),
        List.of(),
        Optional.empty());
  }

  /** {@code vouched} as it would be with {@code claims}. */
  static EstimateState told(Filter filter, EstimateState vouched, List<? extends Entry> claims) {
    History history = new History(filter, vouched);
    history.enter(claims, vouched.partial().endMillis());
    return history.state(vouched.partial());
  }

  List<EstimateState.Block> blocks() {
    return blocks;
  }

  Belief now() {
    return now;
  }

  /**
   * Takes in a sample and what was told with it.
   *
   * @param partial the step being filled
   * @return the step being filled after it
   */
  Partial take(Partial partial, Sample sample, List<Entry> told) {
    long at = Math.max(partial.endMillis(), sample.at().toEpochMilli());
    if (!told.isEmpty()) {
      enter(told, at);
    }
    Partial open = partial;
    boolean passed = at - open.startMillis() > STEP_MILLIS;
    if (passed && open.endMillis() > open.startMillis()) {
      close(open.toStep());
      open = Partial.empty(open.endMillis());
    }
    open = open.add(sample, at);
    if (at - open.startMillis() >= STEP_MILLIS) {
      close(open.toStep());
      open = Partial.empty(at);
    }
    return open;
  }

  /** Takes in entries that are new, known and possible, and runs again from the earliest. */
  void enter(List<? extends Entry> more, long latestMillis) {
    this.latestMillis = latestMillis;
    List<Entry> all = new ArrayList<>(entries);
    long earliest = Entries.withdraw(all, more);
    for (Entry entry : more) {
      long at = Bookings.fromMillis(entry);
      if (possible(at, latestMillis) && Filter.known(entry) && !Entries.contains(all, entry)) {
        all.add(entry);
        earliest = Math.min(earliest, at);
      }
    }
    if (earliest == Long.MAX_VALUE) {
      return;
    }
    all.sort(Entries.ORDER);
    entries = List.copyOf(all);
    if (earliest <= now.atMillis()) {
      runAgain(earliest);
    }
  }

  /** Whether an entry of {@code at} lies within the history, or only a little ahead of it. */
  boolean possible(long at, long latestMillis) {
    return at > firstMillis() && at <= latestMillis + AHEAD_MILLIS;
  }

  private long firstMillis() {
    return blocks.get(0).start().atMillis();
  }

  /** Runs again from {@code fromMillis}; what was presumed from there on must show itself anew. */
  private void runAgain(long fromMillis) {
    long from = fromMillis;
    boolean more = true;
    while (more) {
      more = false;
      for (Presumed one : List.copyOf(presumed)) {
        if (one.decidedMillis() >= from) {
          presumed.remove(one);
          from = Math.min(from, one.atMillis());
          more = true;
        }
      }
    }
    log.doubtAfter(from);
    runFrom(from);
  }

  private void runFrom(long fromMillis) {
    int first = blockBefore(fromMillis);
    Belief belief = blocks.get(first).start().copy();
    for (int i = first; i < blocks.size(); i++) {
      List<Step> steps = blocks.get(i).steps();
      if (i > first) {
        blocks.set(i, new EstimateState.Block(belief.copy(), steps));
      }
      for (Step step : steps) {
        Optional<Presumed> noticed = run(belief, step);
        if (noticed.isPresent()) {
          runFrom(noticed.get().atMillis());
          return;
        }
      }
    }
    now = belief;
    nowIsOurs = true;
  }

  private int blockBefore(long fromMillis) {
    int first = blocks.size() - 1;
    while (first > 0 && blocks.get(first).start().atMillis() >= fromMillis) {
      first--;
    }
    return first;
  }

  /** Passes through one step and notes what it shows; what is newly presumed is put in place. */
  private Optional<Presumed> run(Belief belief, Step step) {
    List<Entry> happened = within(step);
    filter.run(belief, step, happened, presumedWithin(step));
    for (Finding finding : filter.notice().findings(belief, step, happened)) {
      say(finding);
    }
    long decided = presumed.isEmpty() ? 0 : presumed.get(presumed.size() - 1).decidedMillis();
    Optional<Presumed> noticed =
        belief.atMillis() > decided
            ? filter.notice().presume(belief, decided, firstMillis())
            : Optional.empty();
    noticed.ifPresent(
        one -> {
          presumed.add(one);
          filter.notice().finding(one).ifPresent(this::say);
        });
    return noticed;
  }

  private void say(Finding finding) {
    log.add(finding, Instant.ofEpochMilli(latestMillis));
  }

  /** What is presumed to have begun within {@code step}. */
  List<Presumed> presumedWithin(Step step) {
    List<Presumed> found = List.of();
    for (Presumed one : presumed) {
      if (one.atMillis() > step.startMillis() && one.atMillis() <= step.endMillis()) {
        found = found.isEmpty() ? new ArrayList<>() : found;
        found.add(one);
      }
    }
    return found;
  }

  /** Entries that happened within {@code step}. */
  List<Entry> within(Step step) {
    return Entries.within(entries, step);
  }

  /** Closes a step; one after a gap is divided, with its readings at the end. */
  void close(Step step) {
    long length = step.endMillis() - step.startMillis();
    int pieces = (int) Math.max(1, Math.min(GAP_STEPS, (length + STEP_MILLIS - 1) / STEP_MILLIS));
    for (int i = 0; i < pieces; i++) {
      boolean last = i == pieces - 1;
      append(
          new Step(
              step.startMillis() + length * i / pieces,
              step.startMillis() + length * (i + 1) / pieces,
              last ? step.levelL() : Double.NaN,
              last ? step.temperatureC() : Double.NaN,
              last ? step.conductivityMsCm() : Double.NaN,
              last ? step.ph() : Double.NaN,
              step.concentrateL() / pieces,
              step.waterL() / pieces,
              step.loads() / pieces,
              step.circulating(),
              step.levelSettled()));
    }
    forget();
  }

  private void append(Step step) {
    int last = blocks.size() - 1;
    if (blocks.get(last).steps().size() >= BLOCK_STEPS) {
      blocks.add(new EstimateState.Block(now, List.of()));
      nowIsOurs = false;
      last++;
    }
    EstimateState.Block open = blocks.get(last);
    blocks.set(last, new EstimateState.Block(open.start(), with(open.steps(), step)));
    latestMillis = Math.max(latestMillis, step.endMillis());
    Belief belief = nowIsOurs ? now : now.copy();
    now = belief;
    nowIsOurs = true;
    run(belief, step).ifPresent(noticed -> runFrom(noticed.atMillis()));
  }

  private static List<Step> with(List<Step> steps, Step step) {
    Step[] more = steps.toArray(new Step[steps.size() + 1]);
    more[steps.size()] = step;
    return Collections.unmodifiableList(Arrays.asList(more));
  }

  private void forget() {
    long horizon = now.atMillis() - keptMillis;
    boolean dropped = false;
    while (blocks.size() > 1 && blocks.get(1).start().atMillis() <= horizon) {
      blocks.remove(0);
      dropped = true;
    }
    if (dropped) {
      long first = firstMillis();
      presumed.removeIf(one -> one.atMillis() <= first);
      entries = entries.stream().filter(entry -> Bookings.fromMillis(entry) > first).toList();
    }
  }
}
