package org.bathwarden.alarm;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;

/** The working table of one run; lives for that run only. */
final class AlarmRun {
  private final AlarmSettings settings;
  private final AlarmState before;
  private final AlarmInput input;
  private final Now now;
  private final Map<AlarmKey, AlarmCondition> conditions = new EnumMap<>(AlarmKey.class);
  private final Map<AlarmKey, AlarmStatus> work = new EnumMap<>(AlarmKey.class);
  private final List<AlarmChange> changes = new ArrayList<>();
  private final List<AlarmStep.Answer> answers = new ArrayList<>();

  AlarmRun(AlarmSettings settings, AlarmState before, AlarmInput input) {
    this.settings = settings;
    this.before = before;
    this.input = input;
    this.now = input.now();
    input.conditions().forEach(c -> conditions.put(c.key(), c));
    for (AlarmKey key : AlarmKey.values()) {
      AlarmStatus status =
          before.status(key).orElseGet(() -> AlarmStatus.initial(settings.of(key)));
      work.put(key, status);
    }
  }

  AlarmStep run() {
    input.entries().forEach(this::answer);
    Set<AlarmKey> suspected = suspectedCauses();
    work.replaceAll((key, status) -> judge(key, status, suspected));
    Set<AlarmKey> causes = standingCauses();
    for (AlarmKey key : AlarmKey.values()) {
      live(settings.of(key), causes);
    }
    return new AlarmStep(current(), changes, answers);
  }

  /** Alarms whose condition stands as of now, here or elsewhere. */
  private Set<AlarmKey> standingCauses() {
    Set<AlarmKey> causes = EnumSet.noneOf(AlarmKey.class);
    work.forEach(
        (key, status) -> {
          if (status.standing()) {
            causes.add(key);
          }
        });
    causes.addAll(input.causesElsewhere());
    return causes;
  }

  private AlarmState current() {
    Map<AlarmKey, AlarmStatus> moved = new EnumMap<>(AlarmKey.class);
    work.forEach(
        (key, status) -> {
          if (before.alarms().containsKey(key)
              || !status.equals(AlarmStatus.initial(settings.of(key)))) {
            moved.put(key, status);
          }
        });
    return new AlarmState(before.tank(), moved);
  }

  private void answer(Entry entry) {
    AlarmEntries.judge(entry, before.tank(), settings, work)
        .ifPresent(
            verdict -> {
              verdict.move().ifPresent(this::carryOut);
              answers.add(
                  new AlarmStep.Answer(
                      entry, verdict.move().isPresent(), verdict.refusal().orElse("")));
            });
  }

  private void carryOut(AlarmEntries.Move move) {
    AlarmDefinition definition = settings.of(move.key());
    if (move(definition, move.what(), move.author(), move.comment(), abnormal(definition))) {
      move.shelving()
          .ifPresent(
              d ->
                  work.computeIfPresent(
                      move.key(), (k, s) -> s.shelvedUntil(now.steady().plus(d))));
    }
  }

  /** Process abnormal in a way that is not meaningless in this state of the bath. */
  private boolean abnormal(AlarmDefinition definition) {
    return status(definition).active() && !definition.suppressedIn().contains(input.bath());
  }

  /** Causes that stand or are being proved: their consequences do not start meanwhile. */
  private Set<AlarmKey> suspectedCauses() {
    Set<AlarmKey> suspected = standingCauses();
    conditions.forEach(
        (key, condition) -> {
          AlarmLife life = status(settings.of(key)).life();
          boolean there = raised(condition);
          boolean hides =
              life != AlarmLife.SUPPRESSED_BY_DESIGN && life != AlarmLife.OUT_OF_SERVICE;
          if (there && hides) {
            suspected.add(key);
          }
        });
    return suspected;
  }

  private static boolean raised(AlarmCondition condition) {
    return condition.presence() == Presence.ACTIVE || condition.presence() == Presence.PROVED;
  }

  private AlarmStatus judge(AlarmKey key, AlarmStatus status, Set<AlarmKey> suspected) {
    AlarmDefinition definition = settings.of(key);
    AlarmCondition condition =
        conditions.getOrDefault(key, AlarmCondition.unknown(key, "not judged in this pass"));
    boolean held = raised(condition) && firstOf(definition.hiddenBy(), suspected).isPresent();
    Presence presence = held ? Presence.UNKNOWN : condition.presence();
    Duration delay =
        switch (presence) {
          case ACTIVE -> definition.onDelay();
          case NORMAL -> definition.offDelay();
          case PROVED, UNKNOWN -> Duration.ZERO;
        };
    return status.judged(presence, delay, now);
  }

  private void live(AlarmDefinition definition, Set<AlarmKey> causes) {
    boolean byState = definition.suppressedIn().contains(input.bath());
    Optional<AlarmKey> cause = firstOf(definition.hiddenBy(), causes);
    endShelving(definition);
    endSuppression(definition, byState, cause);
    beginSuppression(definition, byState, cause);
    followProcess(definition);
    callAgain(definition);
    keepCurrent(definition);
  }

  /** The first in the order of the catalogue that both have. */
  private static Optional<AlarmKey> firstOf(Set<AlarmKey> keys, Set<AlarmKey> others) {
    Optional<AlarmKey> first = Optional.empty();
    for (AlarmKey key : keys) {
      if (others.contains(key) && (first.isEmpty() || key.compareTo(first.get()) < 0)) {
        first = Optional.of(key);
      }
    }
    return first;
  }

  private void endShelving(AlarmDefinition definition) {
    boolean expired =
        status(definition).shelvedUntil().map(until -> !now.steady().isBefore(until)).orElse(false);
    if (expired) {
      describeIfActive(definition);
      move(definition, Happening.UNSHELVED, "", "shelving time is over", abnormal(definition));
    }
  }

  private void endSuppression(
      AlarmDefinition definition, boolean byState, Optional<AlarmKey> cause) {
    AlarmStatus status = status(definition);
    boolean stays = byState || (status.hidden() && cause.isPresent());
    if (status.life() == AlarmLife.SUPPRESSED_BY_DESIGN && !stays) {
      String why = status.hidden() ? "its cause is gone" : "bath state " + input.bath();
      describeIfActive(definition);
      move(definition, Happening.UNSUPPRESSED, "", why, abnormal(definition));
    }
  }

  /**
   * The bath state suppresses an alarm in any state; a cause hides only what would call now, so
   * that nothing that people already see disappears.
   */
  private void beginSuppression(
      AlarmDefinition definition, boolean byState, Optional<AlarmKey> cause) {
    if (status(definition).life().aside()) {
      return;
    }
    if (byState) {
      move(definition, Happening.SUPPRESSED, "", "bath state " + input.bath(), false);
    } else if (cause.isPresent()
        && status(definition).life() == AlarmLife.NORMAL
        && Optional.ofNullable(conditions.get(definition.key()))
            .filter(AlarmRun::raised)
            .isPresent()
        && !status(definition).active()) {
      String why = "consequence of " + cause.get().key();
      if (move(definition, Happening.SUPPRESSED, "", why, false)) {
        work.computeIfPresent(definition.key(), (k, s) -> s.hiddenByCause());
      }
    }
  }

  private void followProcess(AlarmDefinition definition) {
    AlarmStatus status = status(definition);
    if (status.active()
        && Transitions.next(status.life(), Happening.ACTIVATED, true, false).isPresent()) {
      describe(definition, definition.priority());
      move(definition, Happening.ACTIVATED, "", "", true);
    } else if (!status.active()
        && Transitions.next(status.life(), Happening.RETURNED, false, false).isPresent()) {
      move(definition, Happening.RETURNED, "", "", false);
    }
  }

  /** While the condition is there, value and evidence say what it says now. */
  private void keepCurrent(AlarmDefinition definition) {
    AlarmStatus status = status(definition);
    Optional.ofNullable(conditions.get(definition.key()))
        .filter(said -> status.active() && raised(said))
        .filter(said -> !said.value().isEmpty() && !said.evidence().isEmpty())
        .ifPresent(
            said ->
                work.put(
                    definition.key(),
                    status.described(status.priority(), said.value(), said.evidence())));
  }

  private void callAgain(AlarmDefinition definition) {
    AlarmStatus status = status(definition);
    boolean standing =
        status.life() == AlarmLife.UNACKNOWLEDGED || status.life() == AlarmLife.ACKNOWLEDGED;
    if (!standing) {
      return;
    }
    Priority found = priorityFound(definition);
    if (found.compareTo(status.priority()) > 0) {
      String why = "priority raised from " + status.priority() + " to " + found;
      describe(definition, found);
      if (!move(definition, Happening.RE_ALARMED, "", why, true)) {
        note(definition, why);
      }
      return;
    }
    Duration acknowledged = Duration.between(status.since().steady(), now.steady());
    definition
        .reAlarm()
        .filter(limit -> acknowledged.compareTo(limit) >= 0)
        .ifPresent(
            limit ->
                move(definition, Happening.RE_ALARMED, "", "still stands after " + limit, true));
  }

  private Priority priorityFound(AlarmDefinition definition) {
    Priority base = definition.priority();
    return Optional.ofNullable(conditions.get(definition.key()))
        .filter(AlarmRun::raised)
        .flatMap(AlarmCondition::priority)
        .filter(raised -> raised.compareTo(base) > 0)
        .orElse(base);
  }

  private void describeIfActive(AlarmDefinition definition) {
    if (status(definition).active()) {
      describe(definition, definition.priority());
    }
  }

  private void describe(AlarmDefinition definition, Priority least) {
    Priority found = priorityFound(definition);
    Priority priority = found.compareTo(least) > 0 ? found : least;
    AlarmStatus status = status(definition);
    Optional<AlarmCondition> said =
        Optional.ofNullable(conditions.get(definition.key())).filter(AlarmRun::raised);
    work.put(
        definition.key(),
        status.described(
            priority,
            said.map(AlarmCondition::value).orElse(status.value()),
            said.map(AlarmCondition::evidence).orElse(status.evidence())));
  }

  private AlarmStatus status(AlarmDefinition definition) {
    AlarmStatus status = work.get(definition.key());
    return status == null ? AlarmStatus.initial(definition) : status;
  }

  private void note(AlarmDefinition definition, String comment) {
    AlarmStatus status = status(definition).noted();
    work.put(definition.key(), status);
    report(definition, Happening.PRIORITY_RAISED, status.life(), "", comment);
  }

  private boolean move(
      AlarmDefinition definition, Happening what, String author, String comment, boolean abnormal) {
    AlarmStatus status = status(definition);
    Optional<AlarmLife> to = Transitions.next(status.life(), what, abnormal, definition.latching());
    to.ifPresent(
        next -> {
          work.put(definition.key(), status.moved(next, now));
          report(definition, what, status.life(), author, comment);
        });
    return to.isPresent();
  }

  private void report(
      AlarmDefinition definition, Happening what, AlarmLife from, String author, String comment) {
    AlarmStatus status = status(definition);
    changes.add(
        new AlarmChange(
            before.tank().name() + "/" + definition.key().key() + "/" + status.sequence(),
            before.tank(),
            definition,
            what,
            from,
            status.life(),
            status.priority(),
            now,
            author,
            comment,
            status.value(),
            status.evidence()));
  }
}
