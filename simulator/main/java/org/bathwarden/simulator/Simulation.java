package org.bathwarden.simulator;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.simulator.physics.TankType;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.simulator.scenario.ShopFloor;
import org.bathwarden.simulator.scenario.WireChange;

/** A scenario on a line with a PLC and its wires. */
public final class Simulation extends SimulatedPlant {

  private static final int LIMIT_TIME_S = 1200;

  private final SimulatedLine line;

  private Simulation(ShopFloor floor, SimulatedLine line) {
    super(floor);
    this.line = line;
  }

  /** Opens {@code scenario} with the chance of {@code seed}. */
  public static Simulation open(Scenario scenario, long seed, SimulatedLine.Options options) {
    ShopFloor floor = new ShopFloor(scenario, seed);
    List<PlcConfig> configs = new ArrayList<>();
    for (int tank = 0; tank < scenario.tanks().size(); tank++) {
      configs.add(config(scenario, tank));
    }
    return new Simulation(floor, SimulatedLine.open(floor, configs, options));
  }

  /** Generous limits of the PLC's own: a second line of defence behind the controller's. */
  private static PlcConfig config(Scenario scenario, int tank) {
    Scenario.TankSheet sheet = scenario.tanks().get(tank);
    TankType type = scenario.plant(tank).type();
    double workingMl = 1000 * type.geometry().workingL();
    return new PlcConfig(
        tank + 1,
        supply(
            "concentrate of " + sheet.name(),
            type.concentrate(),
            0.01 * workingMl,
            0.1 * workingMl),
        supply("water of " + sheet.name(), type.water(), 0.05 * workingMl, 0.6 * workingMl),
        LIMIT_TIME_S,
        (type.geometry().maxL() + type.geometry().floatL()) / 2,
        true);
  }

  private static PlcConfig.Supply supply(
      String name, TankType.Line line, double limitMl, double dailyMl) {
    return new PlcConfig.Supply(
        name,
        line.ratedLPerMin() * 1000 / 60,
        (int) Math.round(line.mlPerPulse()),
        Math.round(limitMl),
        Math.round(dailyMl));
  }

  @Override
  void step(Duration step) {
    line.advance(step);
  }

  @Override
  void befalls(WireChange change) {
    line.faults().apply(change);
  }

  /** PLC and wires. */
  public SimulatedLine line() {
    return line;
  }

  @Override
  public void close() {
    super.close();
    line.close();
  }
}
