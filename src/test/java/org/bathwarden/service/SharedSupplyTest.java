package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.bathwarden.config.Configuration;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.physics.Charge;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Two tanks that one pump feeds. */
class SharedSupplyTest {

  @TempDir Path folder = Path.of("");

  /** The first tank is weak within its band, the second below its low limit. */
  private static Scenario twoWeakTanks() {
    Scenario demo = Scenario.bundled("demo");
    List<Scenario.TankSheet> tanks = new ArrayList<>(demo.tanks());
    tanks.set(0, charged(tanks.get(0), 0.90));
    tanks.set(1, charged(tanks.get(1), 0.80));
    return new Scenario(
        "two-weak-tanks",
        demo.seed(),
        demo.start(),
        demo.room(),
        demo.water(),
        demo.unknowns(),
        demo.products(),
        demo.drums(),
        demo.loadProfiles(),
        demo.tankTypes(),
        tanks,
        List.of());
  }

  private static Scenario.TankSheet charged(Scenario.TankSheet tank, double factor) {
    Charge was = tank.charge();
    return new Scenario.TankSheet(
        tank.name(),
        tank.type(),
        tank.drum(),
        tank.loads(),
        tank.endPoint(),
        new Charge(was.targetPct(), factor, 780, was.ageDays()));
  }

  /** Whether the PLC has an order of concentrate for {@code tank} that is not final. */
  private static boolean pumps(Stage stage, TankId tank) {
    return stage.plc(tank, FromPlc.ORDER_FINAL) != stage.plc(tank, FromPlc.ORDER_TAKEN)
        && stage.written(tank, ToPlc.ORDER_KIND) == 1;
  }

  private Configuration oneSupply(Simulation plant) throws Exception {
    return Stage.configuration(
        folder,
        plant,
        Mode.COMMAND,
        yaml ->
            yaml.replace("[pump-2, drum-2]", "[pump-1, drum-1]")
                .replace(
                    "{concentration_pct: 10.0, u_pct: 0.3}",
                    "{concentration_pct: 6.4, u_pct: 0.3}"));
  }

  @Test
  void aTankWhosePassesFailDoesNotKeepTheSupplyFromTheOther() throws Exception {
    try (Simulation plant =
        Simulation.open(twoWeakTanks(), 7, SimulatedLine.Options.onLoopback())) {
      Configuration configuration = oneSupply(plant);
      try (SqliteRecord record = SqliteRecord.open(configuration.record());
          Stage stage = new Stage(plant, configuration, record)) {
        stage.seconds(20);
        stage.titrate();
        stage.until(
            "the first wants the supply",
            120,
            () -> stage.last(Stage.STRONG).view().supplies().isPresent());
        assertFalse(pumps(stage, Stage.STRONG));
        stage.until(
            "the other has it",
            60,
            () -> {
              stage.offer(stage.broken(Stage.STRONG));
              return pumps(stage, Stage.WEAK);
            });
      }
    }
  }

  @Test
  void theyNeverHaveOrdersAtOnceAndTheOneBelowItsLimitComesFirst() throws Exception {
    try (Simulation plant =
        Simulation.open(twoWeakTanks(), 7, SimulatedLine.Options.onLoopback())) {
      Configuration configuration = oneSupply(plant);
      try (SqliteRecord record = SqliteRecord.open(configuration.record());
          Stage stage = new Stage(plant, configuration, record)) {
        stage.seconds(20);
        stage.titrate();
        List<TankId> starts = new ArrayList<>();
        for (int second = 0; second < 1500; second++) {
          boolean one = pumps(stage, Stage.WEAK);
          boolean other = pumps(stage, Stage.STRONG);
          stage.seconds(1);
          assertFalse(pumps(stage, Stage.WEAK) && pumps(stage, Stage.STRONG), "both at once");
          if (!one && pumps(stage, Stage.WEAK)) {
            starts.add(Stage.WEAK);
          }
          if (!other && pumps(stage, Stage.STRONG)) {
            starts.add(Stage.STRONG);
          }
        }
        assertEquals(Stage.STRONG, starts.get(0), starts.toString());
        assertEquals(Set.of(Stage.WEAK, Stage.STRONG), Set.copyOf(starts));
      }
    }
  }
}
