package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.function.UnaryOperator;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Happening;
import org.bathwarden.config.Configuration;
import org.bathwarden.record.Retention;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.tank.Mode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A record that quality records alone fill beyond its limit is an alarm, and nothing else. */
class RecordFullTest {

  @TempDir private Path folder = Path.of("");

  @Test
  void aRecordBeyondItsLimitRaisesAnAlarmAndDosingGoesOn() throws Exception {
    Retention tiny =
        new Retention(Duration.ofDays(7), Duration.ofDays(400), Duration.ofDays(60), 4096, 0);
    try (Simulation plant = Stage.plant()) {
      Configuration configuration =
          Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity());
      try (SqliteRecord record = SqliteRecord.open(configuration.record(), tiny, Instant.EPOCH);
          Stage stage = new Stage(plant, configuration, record)) {
        stage.seconds(20);
        stage.titrate();
        stage.until("an order on the weak tank", 120, () -> stage.runs(Stage.WEAK));
        stage.seconds(120);
        assertEquals(1, stage.alarms(AlarmKey.RECORD_FULL, Happening.ACTIVATED).size());
        assertEquals(0, stage.alarms(AlarmKey.RECORD_FAILING, Happening.ACTIVATED).size());
        String evidence =
            stage.alarms(AlarmKey.RECORD_FULL, Happening.ACTIVATED).get(0).change().evidence();
        assertTrue(evidence.contains("never removed"), evidence);
      }
    }
  }
}
