package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.alarm.AlarmCatalogue;
import org.bathwarden.alarm.AlarmDefinition;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.face.AlarmPayload;
import org.bathwarden.face.metrics.Metrics;
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
}
