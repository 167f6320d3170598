package org.bathwarden.cycle;

import static org.bathwarden.cycle.AlarmWays.WAYS;
import static org.bathwarden.cycle.AlarmWays.await;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Set;
import java.util.function.Supplier;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmDefinition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Each alarm of the catalogue is raised and cleared. The life cycle that is walked through, normal,
 * unacknowledged, acknowledged, normal, and latched in between where the definition says so, is
 * that of IEC 62682:2014, 5.2.2 (clause from memory).
 */
class AlarmCoverageTest {

  private static final AlarmSettings SETTINGS = AlarmSettings.defaults();

  private static final Set<AlarmKey> ELSEWHERE =
      Set.of(
          AlarmKey.LINE_LOST,
          AlarmKey.LINE_TAKEN_OVER,
          AlarmKey.CONTROLLER_FAULT,
          AlarmKey.RECORD_FAILING,
          AlarmKey.RECORD_FULL,
          AlarmKey.CLOCK_NOT_TRUSTED);

  @ParameterizedTest
  @EnumSource(AlarmKey.class)
  void everyAlarmIsRaisedAndCleared(AlarmKey key) {
    if (ELSEWHERE.contains(key)) {
      watchkeeping(key);
      return;
    }
    Supplier<AlarmWays.Way> found = WAYS.get(key);
    assertNotNull(found, key + " is not covered");
    AlarmWays.Way way = found.get();
    Bench bench = way.bench();
    assertEquals(AlarmLife.NORMAL, bench.life(key));

    way.raise().accept(bench);
    await(bench, way.stepS(), key, AlarmLife.UNACKNOWLEDGED);

    bench.enter(new Entry.Acknowledge(bench.stamp(), key.key(), "seen"));
    bench.run(1);
    boolean over = !bench.state.alarm().active(key);
    AlarmDefinition definition = SETTINGS.of(key);
    if (!over) {
      assertEquals(AlarmLife.ACKNOWLEDGED, bench.life(key));
    }

    way.clear().accept(bench);
    if (definition.latching()) {
      await(bench, way.stepS(), key, AlarmLife.LATCHED_ACKNOWLEDGED);
      bench.coarse(Duration.ofMinutes(5), 10);
      assertEquals(AlarmLife.LATCHED_ACKNOWLEDGED, bench.life(key), "a latched alarm stays");
      bench.enter(new Entry.AlarmReset(bench.stamp(), key.key()));
      bench.run(1);
      assertEquals(AlarmLife.NORMAL, bench.life(key));
    } else {
      await(bench, way.stepS(), key, AlarmLife.NORMAL);
    }
  }

  @Test
  void theUncoveredListIsEmpty() {
    List<AlarmKey> uncovered =
        List.of(AlarmKey.values()).stream()
            .filter(key -> !WAYS.containsKey(key) && !ELSEWHERE.contains(key))
            .toList();
    assertEquals(List.of(), uncovered);
  }

  /** Alarms of a connection and of the site: the same life cycle, conditions from the shell. */
  private static void watchkeeping(AlarmKey key) {
    TankId name = new TankId("line-1");
    AlarmState state = AlarmState.initial(name);
    Now now = Now.at(Plant.T0);
    AlarmDefinition definition = SETTINGS.of(key);
    AlarmCondition there = AlarmCondition.active(key, "", "");
    AlarmCondition gone = AlarmCondition.normal(key);

    state = watch(state, there, List.of(), now);
    AlarmLife atOnce = definition.onDelay().isZero() ? AlarmLife.UNACKNOWLEDGED : AlarmLife.NORMAL;
    assertEquals(atOnce, state.life(key), "the on-delay runs, if there is one");
    now = now.plus(definition.onDelay());
    state = watch(state, there, List.of(), now);
    assertEquals(AlarmLife.UNACKNOWLEDGED, state.life(key));
    assertTrue(state.standingCauses().contains(key));
    Stamp stamp = new Stamp("a", name, "A. Operator", Stamp.Channel.MQTT, now.wall(), now.wall());
    state = watch(state, there, List.of(new Entry.Acknowledge(stamp, key.key(), "")), now);
    assertEquals(AlarmLife.ACKNOWLEDGED, state.life(key));
    state = watch(state, gone, List.of(), now);
    now = now.plus(definition.offDelay());
    state = watch(state, gone, List.of(), now);
    if (definition.latching()) {
      assertEquals(AlarmLife.LATCHED_ACKNOWLEDGED, state.life(key));
      state = watch(state, gone, List.of(new Entry.AlarmReset(stamp, key.key())), now);
    }
    assertEquals(AlarmLife.NORMAL, state.life(key));
  }

  private static AlarmState watch(
      AlarmState state, AlarmCondition condition, List<Entry> entries, Now now) {
    return Watchkeeping.run(SETTINGS, state, List.of(condition), entries, now).alarms().after();
  }
}
