package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.service.Service;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.tank.Now;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The rehearsal's scenario and configuration over Modbus, in lockstep. */
class SafeTimesRoundTest {

  private static final Duration SECOND = Duration.ofSeconds(1);
  private static final int MOST_S = 5400;

  @TempDir private Path folder = Path.of("");

  @Test
  void bothTimesAreMeasuredOnTheSimulatedPlcAndAreWithinTheirLimits() throws Exception {
    Files.createDirectories(folder.resolve("chemistry"));
    for (String name : List.of("rehearsal-modbus.yaml", "chemistry/alkali-a.yaml")) {
      Files.copy(Path.of("config").resolve(name), folder.resolve(name));
    }
    Path titrations = Files.writeString(folder.resolve("titrations.csv"), TITRATIONS);
    StringWriter text = new StringWriter();
    PrintWriter out = new PrintWriter(text, true);
    SafeTimes times = new SafeTimes();
    Scenario scenario = Scenario.bundled("rehearsal");
    SimulatedLine.Options options =
        new SimulatedLine.Options(
            Optional.of(0),
            Optional.empty(),
            Optional.empty(),
            InetAddress.getLoopbackAddress(),
            Optional.empty());
    Instant from = scenario.start().toInstant();
    try (Simulation simulation = Simulation.open(scenario, scenario.seed(), options)) {
      Configuration read = ConfigReader.read(folder.resolve("rehearsal-modbus.yaml"), Map.of());
      Configuration configuration =
          read.with(
              read.lines().stream()
                  .map(line -> line.at("127.0.0.1", simulation.line().modbusPort()))
                  .toList(),
              read.record(),
              read.mqtt());
      RehearsalDesk desk =
          new RehearsalDesk(Optional.of(titrations), configuration, Now.at(from), out);
      SafeTimesRound round = new SafeTimesRound(configuration, times, Now.at(from), out);
      try (SqliteRecord record = SqliteRecord.open(folder.resolve("record.db"));
          Service service =
              new Service(
                  configuration,
                  record,
                  times,
                  Now.at(from),
                  Optional.of(SECOND.multipliedBy(20)))) {
        for (int s = 1; s <= MOST_S && !round.over(); s++) {
          simulation.advance(SECOND);
          Now now = Now.at(from.plusSeconds(s));
          desk.enterDue(now, service::offer);
          round.step(now, service::offer);
          service.round(now);
        }
      }
      assertTrue(round.over(), text::toString);
    }
    assertTrue(times.summary(out), text::toString);
    assertFalse(text.toString().contains("not measured"), text::toString);
    System.out.println(text);
  }

  private static final String TITRATIONS =
      "after,tank,value,unit\n120,rehearsal-1,13,drops\n120,rehearsal-2,20,drops\n";
}
