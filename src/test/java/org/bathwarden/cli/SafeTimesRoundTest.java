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
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.IntConsumer;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.service.Service;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.physics.Permit;
import org.bathwarden.simulator.scenario.Fault;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.tank.Now;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The rehearsal's scenario and configuration over Modbus, in lockstep. */
class SafeTimesRoundTest {

  private static final Duration SECOND = Duration.ofSeconds(1);
  private static final double SPEED = 10;
  private static final String NOW = "a test dose flows NOW";

  @TempDir private Path folder = Path.of("");
  private final StringWriter text = new StringWriter();
  private final PrintWriter out = new PrintWriter(text, true);
  private final SafeTimes times = new SafeTimes();
  private final Scenario scenario = Scenario.bundled("rehearsal");
  private Simulation simulation = Simulation.open(scenario, scenario.seed(), options());
  private long realNanos;

  private static SimulatedLine.Options options() {
    return new SimulatedLine.Options(
        Optional.of(0),
        Optional.empty(),
        Optional.empty(),
        InetAddress.getLoopbackAddress(),
        Optional.empty());
  }

  @BeforeEach
  void files() throws Exception {
    Files.createDirectories(folder.resolve("chemistry"));
    for (String name : List.of("rehearsal-modbus.yaml", "chemistry/alkali-a.yaml")) {
      Files.copy(Path.of("config").resolve(name), folder.resolve(name));
    }
  }

  @AfterEach
  void close() {
    simulation.close();
  }

  /** Runs the round until it is over, {@code mostS} at most; what happens before each second. */
  private void rehearse(Set<SafeTimes.End> wanted, int mostS, IntConsumer second) throws Exception {
    Instant from = scenario.start().toInstant();
    Path titrations = Files.writeString(folder.resolve("titrations.csv"), TITRATIONS);
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
    RehearsalOutcome outcome = new RehearsalOutcome(List.of());
    SafeTimesRound round =
        new SafeTimesRound(
            configuration,
            times,
            wanted,
            outcome::seen,
            new RehearsalPatience(SPEED, () -> realNanos),
            out);
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("record.db"));
        Service service =
            new Service(
                configuration,
                record,
                new Audiences(List.of(times, outcome)),
                Now.at(from),
                Optional.of(SECOND.multipliedBy(20)))) {
      for (int s = 1; s <= mostS && !round.over(); s++) {
        second.accept(s);
        simulation.advance(SECOND);
        Now now = Now.at(from.plusSeconds(s));
        desk.enterDue(now, service::offer);
        round.step(now, service::offer);
        service.round(now);
      }
    }
    assertTrue(round.over(), text::toString);
  }

  private long said(int tank, String what) {
    return text.toString()
        .lines()
        .filter(line -> line.startsWith("rehearsal-" + (tank + 1)) && line.contains(what))
        .count();
  }

  /** Takes a permit of a tank away while it is told to, and gives it back when told. */
  private void hand(Permit permit) {
    for (int tank = 0; tank < 2; tank++) {
      if (said(tank, NOW) > 0 && said(tank, "give back") == 0) {
        simulation.floor().inject(new Fault(FaultKind.PERMIT_LOSS, tank, permit.ordinal()));
      } else {
        simulation.floor().clear(FaultKind.PERMIT_LOSS, tank);
      }
    }
  }

  @Test
  void allTimesAreMeasuredOnTheSimulatedPlcAndAreWithinTheirLimits() throws Exception {
    Set<SafeTimes.End> all = EnumSet.allOf(SafeTimes.End.class);
    rehearse(all, 9000, s -> hand(Permit.DRAIN_CLOSED));
    assertTrue(times.summary(out, all), text::toString);
    assertFalse(text.toString().contains("not measured"), text::toString);
    assertTrue(said(0, "give back drain closed") == 1, text::toString);
    assertTrue(said(1, "give back drain closed") == 1, text::toString);
    System.out.println(text);
  }

  @Test
  void whereNobodyTakesAPermitAwayItIsNotWaitedForInVain() throws Exception {
    Set<SafeTimes.End> drop = Set.of(SafeTimes.End.PERMIT_MISSING);
    rehearse(drop, 4500, s -> {});
    assertTrue(said(0, NOW) >= 1, text::toString);
    assertTrue(said(0, "no permit was seen to fall") >= 1, text::toString);
    assertTrue(said(0, "waited 30 min for a permit to fall while a test dose runs") == 1);
    assertFalse(times.summary(out, drop), text::toString);
  }

  @Test
  void aTankWhoseDataStoodStillTooOftenIsNotWaitedFor() throws Exception {
    rehearse(
        Set.of(SafeTimes.End.ABANDONED, SafeTimes.End.HEARTBEAT_LOST),
        300,
        s -> simulation.line().faults().plcStopped(s > 10 && s % 40 < 8));
    for (int tank = 0; tank < 2; tank++) {
      assertTrue(
          said(tank, "for an order of the closed loop, in vain; seen now:") == 1, text::toString);
      assertTrue(said(tank, "blocked by data_stale") == 1, text::toString);
      assertTrue(said(tank, "to do: Reset trip data_stale") == 1, text::toString);
      assertTrue(said(tank, "at a lower --speed") == 1, text::toString);
    }
  }

  @Test
  void whatRunsMuchSlowerThanTheSpeedPromisesIsNotWaitedFor() throws Exception {
    rehearse(Set.of(SafeTimes.End.ABANDONED), 200, s -> realNanos += 10_000_000_000L);
    assertTrue(
        said(0, "of 30 min (580 s of real time: the test PLC's heartbeat comes late") == 1,
        text::toString);
  }

  private static final String TITRATIONS =
      "after,tank,value,unit\n120,rehearsal-1,13,drops\n120,rehearsal-2,20,drops\n";
}
