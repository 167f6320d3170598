package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.net.InetAddress;
import java.nio.file.Path;
import java.time.Duration;
import org.bathwarden.simulator.RemoteIoSimulation;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The delivered configuration for remote I/O, commissioned at the simulated modules. */
class RemoteIoProveTest {

  @TempDir private Path folder = Path.of("");
  private RemoteIoSimulation plant;
  private CommissionedLine line;
  private ProvingEngineer engineer;

  @BeforeEach
  void open() throws Exception {
    plant =
        RemoteIoSimulation.open(CommissionedLine.SCENARIO, 3, InetAddress.getLoopbackAddress(), 0);
    line = new CommissionedLine(folder, plant);
    line.copy(
        Path.of("config/example-pulse.yaml"),
        "host: 192.0.2.40",
        "host: 127.0.0.1\n    port: " + plant.io().port(),
        "port: 8483",
        "port: 0",
        "chemistry/alkali-a.yaml",
        "alkali-a.yaml",
        "mode: propose",
        "mode: command",
        "    band: {",
        "    limits: {mixing_wait: 1s}\n    band: {");
    engineer = new ProvingEngineer(line);
  }

  @AfterEach
  void close() throws Exception {
    line.close();
  }

  @Test
  void aRoundAtTheModulesOpensTheWayToCommandAndABathIsDosed() throws Exception {
    line.start();
    line.seconds(5);
    assertEquals(Mode.PROPOSE, line.mode(), "before anything is proved");
    String early = line.enter(new Entry.ModeRequest(line.stamp(), Mode.COMMAND));
    assertTrue(early.startsWith("refused: prove at the line first"), early);
    assertEquals(0, plant.io().writes(), "nothing is written before");

    engineer.proveAll();
    JsonNode all = engineer.listed();
    assertEquals("[]", all.get("to_prove").toString());
    String watchdog = ProvingEngineer.item(all, "watchdog").get("evidence").asText();
    assertTrue(watchdog.contains("controller heartbeat lost"), watchdog);
    String late = line.enter(new Entry.ModeRequest(line.stamp(), Mode.COMMAND));
    assertTrue(late.startsWith("taken"), late);
    long before = plant.io().onMs(0);
    for (int i = 0; i < 40 && plant.io().onMs(0) == before; i++) {
      line.seconds(60);
    }
    assertEquals(Mode.COMMAND, line.mode());
    assertTrue(plant.io().onMs(0) > before, "the weak bath is dosed");
    line.stop();
    plant.advance(Duration.ofSeconds(6));
    assertFalse(plant.io().on(0, 0), "nobody writes it any more");
  }
}
