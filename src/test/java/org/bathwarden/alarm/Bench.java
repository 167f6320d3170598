package org.bathwarden.alarm;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/** Runs the alarms of one tank pass by pass and keeps all changes. */
final class Bench {
  static final TankId TANK = new TankId("wash-1");
  static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  final List<AlarmChange> changes = new ArrayList<>();
  AlarmSettings settings = AlarmSettings.defaults();
  AlarmState state = AlarmState.initial(TANK);
  BathState bath = BathState.IN_USE;
  Set<AlarmKey> causesElsewhere = Set.of();
  Now now = Now.at(START);
  private int entryNumber;

  /** One pass with conditions only. */
  AlarmStep pass(AlarmCondition... conditions) {
    return pass(List.of(conditions), List.of());
  }

  AlarmStep pass(List<AlarmCondition> conditions, List<Entry> entries) {
    AlarmStep step =
        Alarms.run(
            settings, state, new AlarmInput(conditions, bath, causesElsewhere, entries, now));
    state = step.after();
    changes.addAll(step.changes());
    return step;
  }

  /** One pass with one entry only; gives its answer. */
  AlarmStep.Answer enter(Entry entry) {
    return pass(List.of(), List.of(entry)).answers().get(0);
  }

  Bench later(Duration duration) {
    now = now.plus(duration);
    return this;
  }

  /** Passes once a second for {@code duration} with the same conditions. */
  void hold(Duration duration, AlarmCondition... conditions) {
    for (long s = 0; s < duration.toSeconds(); s++) {
      later(Duration.ofSeconds(1)).pass(conditions);
    }
  }

  long annunciations() {
    return changes.stream().filter(AlarmChange::annunciates).count();
  }

  Stamp stamp(Stamp.Channel channel) {
    entryNumber++;
    return new Stamp("e" + entryNumber, TANK, "R. Vale", channel, now.wall(), now.wall());
  }

  Entry acknowledge(AlarmKey key) {
    return new Entry.Acknowledge(stamp(Stamp.Channel.MQTT), key.key(), "seen");
  }

  Entry shelve(AlarmKey key, Duration duration) {
    return new Entry.Shelve(stamp(Stamp.Channel.MQTT), key.key(), duration, "known");
  }

  Entry service(AlarmKey key, boolean out, Stamp.Channel channel) {
    return new Entry.ServiceChange(stamp(channel), key.key(), out, "probe is away for repair");
  }

  Entry reset(AlarmKey key) {
    return new Entry.AlarmReset(stamp(Stamp.Channel.CONSOLE), key.key());
  }

  static AlarmCondition on(AlarmKey key) {
    return AlarmCondition.proved(key, "there", "test");
  }

  static AlarmCondition off(AlarmKey key) {
    return AlarmCondition.normal(key);
  }
}
