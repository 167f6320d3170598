package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.List;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.PlcImage;

/** What one tank really held, and when an order drove an output into it, scan by scan. */
final class BathLog {

  private final Plant plant;
  private final int tank;
  private final List<Drive> drives = new ArrayList<>();
  private final List<Double> levelsL = new ArrayList<>();

  /**
   * An order drove an output.
   *
   * @param leastL least that was in the tank meanwhile, L
   */
  record Drive(long number, boolean concentrate, long fromMs, long untilMs, double leastL) {}

  BathLog(Plant plant, int tank) {
    this.plant = plant;
    this.tank = tank;
    plant.afterScan(this::scan);
  }

  private void scan(long nowMs) {
    if (nowMs / 1000 > levelsL.size()) {
      levelsL.add(plant.truth(tank).volumeL());
    }
    PlcImage image = plant.memory(tank).image();
    Actuators outputs = plant.outputs(tank);
    boolean ordered = image.get(FromPlc.ORDER_STATE) == 1;
    if (ordered && (outputs.concentratePump() || outputs.waterValve())) {
      drive(image.get(FromPlc.ORDER_TAKEN), outputs.concentratePump(), nowMs);
    }
  }

  private void drive(long number, boolean concentrate, long nowMs) {
    Drive last = drives.isEmpty() ? null : drives.get(drives.size() - 1);
    boolean goesOn =
        last != null && last.number() == number && last.untilMs() == nowMs - Plant.SCAN_MS;
    double levelL = plant.truth(tank).volumeL();
    if (goesOn) {
      double leastL = Math.min(last.leastL(), levelL);
      drives.set(drives.size() - 1, new Drive(number, concentrate, last.fromMs(), nowMs, leastL));
    } else {
      drives.add(new Drive(number, concentrate, nowMs, nowMs, levelL));
    }
  }

  /** All of them. */
  List<Drive> drives() {
    return drives;
  }

  /** What was in the tank at that time, ms, L. */
  double levelL(long ms) {
    int second = (int) Math.min(ms / 1000, levelsL.size()) - 1;
    return levelsL.get(Math.max(0, second));
  }
}
