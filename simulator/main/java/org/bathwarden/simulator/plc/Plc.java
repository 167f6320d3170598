package org.bathwarden.simulator.plc;

import java.util.ArrayList;
import java.util.List;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;

/**
 * The line's PLC: one program per tank, and the rule that a shared pump or meter serves one order
 * at a time.
 */
public final class Plc {

  private final List<PlcTank> tanks;
  private final List<WrittenMemory> wires;
  private boolean stopped;

  /**
   * A PLC that is about to power up, with empty memory; one element of {@code configs} for each
   * tank.
   */
  public Plc(List<PlcConfig> configs) {
    tanks = configs.stream().map(PlcTank::new).toList();
    wires = configs.stream().map(config -> new WrittenMemory()).toList();
  }

  /** Runs one scan of 100 ms over all tanks. */
  public List<Actuators> scan(List<FieldSignals> signals) {
    List<Actuators> outputs = new ArrayList<>(tanks.size());
    for (int k = 0; k < tanks.size(); k++) {
      PlcTank tank = tanks.get(k);
      if (stopped) {
        tank.standStill();
        outputs.add(Actuators.OFF);
      } else {
        outputs.add(tank.scan(signals.get(k), wires.get(k), kind -> suppliedElsewhere(tank, kind)));
      }
    }
    return outputs;
  }

  /** What the last scan left of tank {@code tank}, counted from 0. */
  public PlcMemory memory(int tank) {
    return tanks.get(tank).memory();
  }

  /** Where the wire writes for tank {@code tank}. */
  public WrittenMemory wire(int tank) {
    return wires.get(tank);
  }

  /** The panel beside tank {@code tank}. */
  public Panel panel(int tank) {
    return tanks.get(tank).panel();
  }

  /** Number of tanks. */
  public int tanks() {
    return tanks.size();
  }

  /** A short power cycle: the next scan is the first. */
  public void restart() {
    tanks.forEach(PlcTank::restart);
  }

  /** Switches the PLC to STOP or back to RUN. */
  public void stopped(boolean stop) {
    stopped = stop;
  }

  /** The retentive memory is lost, and the PLC restarts. */
  public void loseMemory() {
    tanks.forEach(tank -> tank.load(new Retained()));
  }

  /** Takes a copy of the retentive memory, to be loaded later. */
  public SavedMemory saveMemory() {
    return new SavedMemory(tanks.stream().map(PlcTank::save).toList());
  }

  /** Loads an old copy of the retentive memory, and the PLC restarts. */
  public void loadMemory(SavedMemory saved) {
    for (int k = 0; k < tanks.size(); k++) {
      tanks.get(k).load(saved.tanks.get(k));
    }
  }

  /** A copy of the PLC's retentive memory. */
  public static final class SavedMemory {
    private final List<Retained> tanks;

    private SavedMemory(List<Retained> tanks) {
      this.tanks = tanks;
    }
  }

  PlcTank tank(int tank) {
    return tanks.get(tank);
  }

  private boolean suppliedElsewhere(PlcTank asking, Kind kind) {
    String supply = asking.config().supply(kind).name();
    return tanks.stream()
        .filter(tank -> tank != asking)
        .anyMatch(
            tank ->
                tank.openKind()
                    .filter(open -> tank.config().supply(open).name().equals(supply))
                    .isPresent());
  }
}
