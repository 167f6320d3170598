package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.face.Request;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/** The invented yard of the tests that kill the delivered jar: a tank on a line of its own each. */
final class KillYard {

  private static final int LOCKSTEP_S = 120;
  private static final Duration PATIENCE = Duration.ofSeconds(20);

  private KillYard() {}

  static TankId tank(int index) {
    return new TankId("degrease-" + (index + 1));
  }

  /** The delivered jar as a process of its own that runs {@code config}. */
  static Process start(Path config, Path log) throws IOException {
    return new ProcessBuilder(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-XX:TieredStopAtLevel=1",
            "-XX:+UseSerialGC",
            "-jar",
            System.getProperty("bathwarden.jar"),
            "run",
            "--config",
            config.toString())
        .redirectErrorStream(true)
        .redirectOutput(log.toFile())
        .start();
  }

  /**
   * Without a titration nobody doses: one goes into the record before the first start, by two
   * minutes in lockstep that end now, in which nothing is ordered.
   */
  static void titrate(Path config, List<KillBench> benches) throws Exception {
    Configuration configuration = ConfigReader.read(config, Map.of());
    Judged judged = new Judged(new HashSet<>());
    Instant from = Instant.now().minusSeconds(LOCKSTEP_S);
    try (SqliteRecord record = SqliteRecord.open(configuration.record());
        Service service =
            new Service(configuration, record, judged, Now.at(from), Optional.of(PATIENCE))) {
      service.leaveCommand();
      for (int second = 1; second <= LOCKSTEP_S && judged.tanks().size() < benches.size(); second++) {
        benches.forEach(KillBench::second);
        Instant now = from.plusSeconds(second);
        service.round(Now.at(now));
        if (second == 20) {
          configuration.tanks().forEach(tank -> service.offer(titration(tank, benches, now)));
        }
      }
    }
    assertEquals(benches.size(), judged.tanks().size(), "tanks titrated");
  }

  /** Tanks of which a titration was judged. */
  private record Judged(Set<TankId> tanks) implements Audience {
    @Override
    public void passed(TankRunner.Passed passed, boolean stored) {
      if (passed.result().facts().stream().anyMatch(Fact.TitrationJudged.class::isInstance)) {
        tanks.add(passed.tank().id());
      }
    }
  }

  private static Request titration(
      Configuration.Tank tank, List<KillBench> benches, Instant now) {
    int index = Integer.parseInt(tank.id().name().substring("degrease-".length())) - 1;
    return new Request(
        new Entry.Titration(
            new Stamp(
                "titration-" + tank.id(),
                tank.id(),
                "chemist on shift",
                Stamp.Channel.CONSOLE,
                now,
                now),
            benches.get(index).truePct(),
            Entry.Titration.Unit.PCT,
            tank.sheet().tank().chemistry().endPoint(),
            0.15,
            ""),
        (accepted, text) -> assertTrue(accepted, text));
  }

  /**
   * A configuration with a tank at each port.
   *
   * @param name of the store
   * @param more lines at its top
   */
  static String yaml(List<Integer> ports, String name, String more) {
    StringBuilder lines = new StringBuilder();
    StringBuilder supplies = new StringBuilder();
    StringBuilder tanks = new StringBuilder();
    for (int i = 1; i <= ports.size(); i++) {
      lines.append(
          String.format(
              Locale.ROOT,
              "  cell-%d: {protocol: modbus-tcp, host: 127.0.0.1, port: %d, scan: 1s, timeout: 900ms}%n",
              i,
              ports.get(i - 1)));
      supplies.append(SUPPLIES.replace("#", Integer.toString(i)));
      tanks.append(TANK.replace("#", Integer.toString(i)));
    }
    return "site: North Yard\nrehearsal: true\nhealth: {bind: 127.0.0.1, port: 0}\n"
        + ("record: {file: " + name + ".db}\n" + more)
        + ("connections:\n" + lines)
        + ("supplies:\n" + supplies)
        + ("tanks:\n" + tanks);
  }

  private static final String SUPPLIES =
      """
        pump-#: {kind: pump, product: concentrate, rated_l_per_min: 1.5, ml_per_pulse: 10}
        water-#: {kind: valve, product: water, rated_l_per_min: 20, ml_per_pulse: 100}
      """;

  /** The demo's tank, with small portions and next to no wait between them. */
  private static final String TANK =
      """
        - name: degrease-#
          connection: cell-#
          number: 1
          mode: command
          chemistry: alkali-a.yaml
          metals: [steel]
          temperature_setpoint_c: 60
          drag_out_l_per_load: 0.8
          geometry:
            level_kind: surface
            working_l: 800
            low_level_l: 710
            minimum_l: 600
            heater_guard_l: 500
            maximum_l: 900
            load_displacement_l: 12
            foam_allowance_l: 10
            surface_m2: 1.0
            circulation_l_per_min: 266.7
          band: {target_pct: 8.0, low_pct: 6.8, high_pct: 9.7}
          make_up_water: {strength_pct: 0, strength_u_pct: 0.02, temperature_c: 14}
          concentrate: {strength_pct: 100, supplies: [pump-#]}
          water: {supplies: [water-#]}
          start: {concentration_pct: 6.4, u_pct: 0.3}
          limits:
            mixing_wait: 1s
            concentrate: {smallest_portion_l: 0.1, portion_l: 0.2}
      """;
}
