package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.function.UnaryOperator;
import org.bathwarden.config.Configuration;
import org.bathwarden.face.web.Health;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What whoever watches the process is told. */
class FacesHealthTest {

  @TempDir Path folder = Path.of("");

  private SqliteRecord record;
  private Faces faces;
  private long nanos;

  @BeforeEach
  void open() throws Exception {
    try (Simulation plant = Stage.plant()) {
      Configuration configuration =
          Stage.configuration(folder, plant, Mode.PROPOSE, UnaryOperator.identity());
      record = SqliteRecord.open(configuration.record());
      faces = new Faces(configuration, record, Clock.systemUTC(), () -> nanos);
    }
  }

  @AfterEach
  void close() {
    faces.close();
    record.close();
  }

  private void roundEnds(String connection, int failedPasses) {
    faces.roundEnded(
        new Audience.RoundReport(
            connection, 1_000_000, 0, 0, failedPasses, true, true, Now.at(Instant.EPOCH)));
  }

  private static List<String> wrong(Health health) {
    return health.checks().stream()
        .filter(check -> !check.ok())
        .map(check -> check.what() + ": " + check.text())
        .toList();
  }

  @Test
  void itLivesWhileEveryLineIsScanned() {
    assertFalse(faces.health().live(), "nothing was scanned yet");
    roundEnds("cell-a", 0);
    assertFalse(faces.health().live(), "one line was not");
    roundEnds("cell-b", 0);
    assertTrue(faces.health().live());
    assertTrue(faces.health().ready());
  }

  @Test
  void aScanThatStandsStillOrIsDeadIsNotLive() {
    roundEnds("cell-a", 0);
    roundEnds("cell-b", 0);
    nanos += Duration.ofSeconds(29).toNanos();
    roundEnds("cell-b", 0);
    assertTrue(faces.health().live());
    nanos += Duration.ofSeconds(1).toNanos();
    assertFalse(faces.health().live());
    assertEquals(List.of("line cell-a: the scan stands still"), wrong(faces.health()));
  }

  @Test
  void aTankThatEndsInErrorsIsNotLive() {
    roundEnds("cell-a", 1);
    roundEnds("cell-b", 0);
    assertFalse(faces.health().live());
    assertEquals(
        List.of("tanks of cell-a: 1 end in an error: look at the log"), wrong(faces.health()));
    roundEnds("cell-a", 0);
    assertTrue(faces.health().live());
  }
}
