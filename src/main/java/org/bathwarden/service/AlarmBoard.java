package org.bathwarden.service;

import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Consumer;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmDefinition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.Happening;
import org.bathwarden.face.AlarmPayload;
import org.bathwarden.face.metrics.Metrics;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/**
 * Where every alarm stands, as screens see it: all of a tank's, line's or site's alarms from its
 * first round on, normal ones too, so that a screen can be built before anything ever went wrong.
 * Safe for use by many threads; the lock is held for moments only.
 */
final class AlarmBoard {

  /** New evidence is shown at once; a value that merely moves, at most so often. */
  private static final Duration VALUE_EVERY = Duration.ofMinutes(1);

  private final Metrics metrics;
  private final Map<String, Shown> shown = new TreeMap<>();
  private final Set<TankId> known = new HashSet<>();
  private Optional<Consumer<AlarmPayload>> screen = Optional.empty();

  private record Shown(AlarmPayload alarm, Instant at) {}

  AlarmBoard(Metrics metrics) {
    this.metrics = metrics;
  }

  /** Shows all that is known, and from then on what changes. */
  synchronized void showOn(Consumer<AlarmPayload> to) {
    screen = Optional.of(to);
    shown.values().forEach(last -> to.accept(last.alarm()));
  }

  /**
   * Takes where the alarms of one tank, line or the site stand after a round.
   *
   * @param settings their definitions
   * @param scope whose alarms these are
   * @param stored whether the record has the changes
   */
  synchronized void changed(
      AlarmState state,
      AlarmSettings settings,
      AlarmDefinition.Scope scope,
      List<AlarmChange> changes,
      boolean stored,
      Now now) {
    String tank = state.tank().name();
    boolean first = known.add(state.tank());
    for (AlarmChange change : changes) {
      if (change.what() == Happening.ACTIVATED) {
        metrics.alarmActivated(tank, word(change.priority()));
      }
    }
    Set<AlarmKey> moved = new HashSet<>();
    changes.forEach(change -> moved.add(change.definition().key()));
    for (AlarmDefinition definition : settings.definitions().values()) {
      boolean restored = first && definition.scope() == scope;
      if (restored || moved.contains(definition.key())) {
        show(Showing.alarm(state, definition, stored, now), now);
      } else if (definition.scope() == scope) {
        showWhatItSays(state, definition, now);
      }
    }
    if (first || !changes.isEmpty()) {
      count(state, settings);
    }
  }

  /** What a standing alarm says may change without a change of its state: nothing is recorded. */
  private void showWhatItSays(AlarmState state, AlarmDefinition definition, Now now) {
    Shown last = shown.get(state.tank().name() + "/" + definition.key().key());
    if (last == null) {
      return;
    }
    AlarmPayload says = Showing.alarm(state, definition, last.alarm().stored(), now);
    boolean otherEvidence = !says.evidence().equals(last.alarm().evidence());
    boolean otherValue =
        !says.value().equals(last.alarm().value())
            && Duration.between(last.at(), now.steady()).compareTo(VALUE_EVERY) >= 0;
    if (otherEvidence || otherValue) {
      show(says, now);
    }
  }

  private void show(AlarmPayload alarm, Now now) {
    shown.put(alarm.tank() + "/" + alarm.alarm(), new Shown(alarm, now.steady()));
    screen.ifPresent(to -> to.accept(alarm));
  }

  /** All that are not normal, as MQTT tells them. */
  synchronized List<AlarmPayload> standing() {
    return shown.values().stream()
        .map(Shown::alarm)
        .filter(alarm -> !alarm.state().equals(word(AlarmLife.NORMAL)))
        .toList();
  }

  private void count(AlarmState state, AlarmSettings settings) {
    Map<String, Integer> standing = new HashMap<>();
    Map<String, Integer> calling = new HashMap<>();
    for (AlarmDefinition definition : settings.definitions().values()) {
      AlarmLife life = state.life(definition.key());
      String priority =
          word(state.status(definition.key()).map(s -> s.priority()).orElse(definition.priority()));
      boolean active = life == AlarmLife.UNACKNOWLEDGED || life == AlarmLife.ACKNOWLEDGED;
      standing.merge(priority, active ? 1 : 0, Integer::sum);
      calling.merge(priority, life.annunciated() ? 1 : 0, Integer::sum);
    }
    for (String priority : List.of("high", "medium", "low")) {
      metrics.alarms(
          state.tank().name(),
          priority,
          standing.getOrDefault(priority, 0),
          calling.getOrDefault(priority, 0));
    }
  }

  private static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }
}
