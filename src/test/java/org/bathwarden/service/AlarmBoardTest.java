package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.alarm.AlarmCatalogue;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmDefinition;
import org.bathwarden.alarm.AlarmInput;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.AlarmStep;
import org.bathwarden.alarm.Alarms;
import org.bathwarden.face.AlarmPayload;
import org.bathwarden.face.metrics.Metrics;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;

class AlarmBoardTest {

  private final List<AlarmPayload> screen = new ArrayList<>();
  private final AlarmBoard board = new AlarmBoard(new Metrics());
  private final Now now = Now.at(Instant.parse("2026-03-02T06:00:00Z"));

  private void round(String name, AlarmDefinition.Scope scope) {
    board.changed(
        AlarmState.initial(new TankId(name)),
        AlarmSettings.defaults(),
        scope,
        List.of(),
        true,
        now);
  }

  private static Set<String> keys(AlarmDefinition.Scope scope) {
    return AlarmCatalogue.defaults().stream()
        .filter(definition -> definition.scope() == scope)
        .map(definition -> definition.key().key())
        .collect(Collectors.toSet());
  }

  private Set<String> shown(String name) {
    return screen.stream()
        .filter(alarm -> alarm.tank().equals(name))
        .map(AlarmPayload::alarm)
        .collect(Collectors.toSet());
  }

  @Test
  void everyAlarmThatCanEverCallIsShownOnceFromTheStart() {
    round("wash-1", AlarmDefinition.Scope.TANK);
    board.showOn(screen::add);
    round("line-hall", AlarmDefinition.Scope.LINE);
    round("site", AlarmDefinition.Scope.SITE);
    assertEquals(keys(AlarmDefinition.Scope.TANK), shown("wash-1"));
    assertEquals(keys(AlarmDefinition.Scope.LINE), shown("line-hall"));
    assertEquals(keys(AlarmDefinition.Scope.SITE), shown("site"));
    assertTrue(screen.stream().allMatch(alarm -> alarm.state().equals("normal")));
    int before = screen.size();
    round("wash-1", AlarmDefinition.Scope.TANK);
    assertEquals(before, screen.size(), "nothing moved");
  }

  /** New evidence is shown at once, a value that moves once a minute, and neither is an event. */
  @Test
  void whatAStandingAlarmSaysIsKeptCurrentOnTheScreen() {
    board.showOn(screen::add);
    AlarmState state = standing(AlarmState.initial(new TankId("wash-1")), "20 L", "level", 0);
    screen.clear();
    state = standing(state, "25 L", "level", 1);
    assertEquals(List.of(), said(), "too soon for a mere value");
    state = standing(state, "30 L", "level and meter", 2);
    assertEquals(List.of("30 L, level and meter"), said());
    state = standing(state, "35 L", "level and meter", 61);
    assertEquals(1, said().size());
    state = standing(state, "40 L", "level and meter", 62);
    assertEquals(List.of("30 L, level and meter", "40 L, level and meter"), said());
    round("site", AlarmDefinition.Scope.SITE);
    assertEquals(
        List.of("wash-1: 40 L"),
        board.standing().stream().map(a -> a.tank() + ": " + a.value()).toList(),
        "what stands is told to who asks, and nothing else");
  }

  private List<String> said() {
    return screen.stream().map(alarm -> alarm.value() + ", " + alarm.evidence()).toList();
  }

  private AlarmState standing(AlarmState before, String value, String evidence, int second) {
    Now then = now.plus(Duration.ofSeconds(second));
    AlarmCondition there = AlarmCondition.proved(AlarmKey.FAST_LOSS, value, evidence);
    AlarmSettings settings = AlarmSettings.defaults();
    AlarmStep step =
        Alarms.run(
            settings,
            before,
            new AlarmInput(List.of(there), BathState.IN_USE, Set.of(), List.of(), then));
    board.changed(step.after(), settings, AlarmDefinition.Scope.TANK, step.changes(), true, then);
    return step.after();
  }
}
