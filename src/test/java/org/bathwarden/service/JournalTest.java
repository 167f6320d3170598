package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.function.UnaryOperator;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.Happening;
import org.bathwarden.alarm.Priority;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class JournalTest {

  @TempDir Path folder = Path.of("");

  private final List<String> lines = new ArrayList<>();
  private final Journal journal = new Journal(lines::add);

  @Test
  void modesEpochsOrdersAndTheStopAreTold() throws Exception {
    try (Simulation plant = Stage.plant();
        SqliteRecord record = SqliteRecord.open(folder.resolve("demo.db"));
        Stage stage =
            new Stage(
                plant,
                Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity()),
                record)) {
      stage.alsoShow(journal);
      stage.seconds(20);
      stage.titrate();
      stage.until("an order", 120, () -> stage.runs(Stage.WEAK));
      stage.service().leaveCommand();
      stage.until("rest", 120, stage.service()::atRest);
    }
    told("degrease-1: commands with epoch ");
    told("degrease-1: order 1, ");
    told(": stopped by the controller's stop, ");
    told("degrease-1: command left");
    assertTrue(lines.stream().noneMatch(line -> line.contains("\n")), lines.toString());
  }

  private void told(String part) {
    assertTrue(lines.stream().anyMatch(line -> line.contains(part)), part + " in " + lines);
  }

  @Test
  void whatFlapsIsCountedAndTheCountIsToldLater() {
    Now now = Now.at(Instant.parse("2026-03-02T06:00:00Z"));
    for (int i = 0; i < 50; i++) {
      raised(now.plus(Duration.ofSeconds(i)));
    }
    assertEquals(Journal.MOST, lines.size());
    assertEquals("wash-1: alarm level-low, Level low: unacknowledged (low), 688.2 L", lines.get(0));
    raised(now.plus(Duration.ofHours(1)));
    assertEquals(
        List.of(
            "wash-1: 30 more of these were not told: level-low ACTIVATED",
            "wash-1: alarm level-low, Level low: unacknowledged (low), 688.2 L"),
        lines.subList(Journal.MOST, lines.size()));
  }

  private void raised(Now at) {
    TankId tank = new TankId("wash-1");
    AlarmChange change =
        new AlarmChange(
            "wash-1/level-low/1",
            tank,
            AlarmSettings.defaults().of(AlarmKey.LEVEL_LOW),
            Happening.ACTIVATED,
            AlarmLife.NORMAL,
            AlarmLife.UNACKNOWLEDGED,
            Priority.LOW,
            at,
            "",
            "",
            "688.2 L",
            "level");
    journal.watched(AlarmState.initial(tank), List.of(change), true, at);
  }
}
