package org.bathwarden.bench.campaign;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.simulator.plc.Panel;
import org.bathwarden.simulator.plc.Plc;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.plc.PlcMemory;
import org.bathwarden.simulator.plc.WrittenMemory;
import org.bathwarden.simulator.scenario.Deed;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.simulator.scenario.ShopFloor;

/** Shop floor and PLC, scan by scan, and the time. For one thread. */
final class Plant {

  static final int SCAN_MS = 100;

  /** Sees the plant before or after a scan. */
  interface Watcher {
    void scan(long nowMs);
  }

  private final ShopFloor floor;
  private final Plc plc;
  private final int forcedPermits;
  private final List<Watcher> before = new ArrayList<>();
  private final List<Watcher> after = new ArrayList<>();
  private List<Actuators> outputs = new ArrayList<>();
  private List<FieldSignals> signals = new ArrayList<>();
  private boolean stopped;
  private boolean poweringUp = true;
  private long nowMs;
  private final double[][] pouredMl;

  /**
   * A plant that begins.
   *
   * @param forcedPermits permit bits that are wired to a constant in the PLC
   */
  Plant(Scenario scenario, long seed, List<PlcConfig> configs, int forcedPermits) {
    this.floor = new ShopFloor(scenario, seed);
    this.plc = new Plc(configs);
    this.forcedPermits = forcedPermits;
    configs.forEach(config -> outputs.add(Actuators.OFF));
    this.pouredMl = new double[configs.size()][2];
  }

  /** Whether permits are wired to constants. */
  boolean constantPermits() {
    return forcedPermits != 0;
  }

  void beforeScan(Watcher watcher) {
    before.add(watcher);
  }

  void afterScan(Watcher watcher) {
    after.add(watcher);
  }

  /** Runs scans until {@code ms} from the start. */
  void runTo(long ms) {
    while (nowMs < ms) {
      scan();
    }
  }

  private void scan() {
    nowMs += SCAN_MS;
    before.forEach(watcher -> watcher.scan(nowMs));
    floor.step(SCAN_MS / 1000.0, outputs);
    List<FieldSignals> seen = new ArrayList<>();
    for (int tank = 0; tank < tanks(); tank++) {
      seen.add(wired(floor.signals(tank)));
    }
    signals = seen;
    outputs = plc.scan(signals);
    after.forEach(watcher -> watcher.scan(nowMs));
    poweringUp = stopped;
  }

  private FieldSignals wired(FieldSignals s) {
    return new FieldSignals(
        s.levelL(),
        s.temperatureC(),
        s.conductivityMsCm(),
        s.ph(),
        s.concentrateMl(),
        s.waterMl(),
        s.loads(),
        s.permits() | forcedPermits,
        s.sensorFaults(),
        s.panelKind(),
        s.concentrateRunning(),
        s.waterOpen());
  }

  int tanks() {
    return floor.tanks();
  }

  long nowMs() {
    return nowMs;
  }

  Instant now() {
    return floor.now();
  }

  ShopFloor floor() {
    return floor;
  }

  Truth truth(int tank) {
    return floor.truth(tank);
  }

  FieldSignals signals(int tank) {
    return signals.get(tank);
  }

  /** Someone pours concentrate (0) or water (1) that no meter sees, L. */
  void pour(int tank, int product, double litres) {
    floor.act(product == 0 ? Deed.POUR_CONCENTRATE : Deed.POUR_WATER, tank, litres);
    pouredMl[tank][product] += 1000 * litres;
  }

  /** What was poured of concentrate (0) or water (1) so far, mL. */
  double pouredMl(int tank, int product) {
    return pouredMl[tank][product];
  }

  /** What the PLC drives until the next scan. */
  Actuators outputs(int tank) {
    return outputs.get(tank);
  }

  PlcMemory memory(int tank) {
    return plc.memory(tank);
  }

  WrittenMemory wire(int tank) {
    return plc.wire(tank);
  }

  Panel panel(int tank) {
    return plc.panel(tank);
  }

  /** Whether the PLC did not see what flowed since the scan before. */
  boolean blind() {
    return stopped || poweringUp;
  }

  void restart() {
    plc.restart();
    poweringUp = true;
  }

  void loseMemory() {
    plc.loseMemory();
    poweringUp = true;
  }

  void stopped(boolean stop) {
    plc.stopped(stop);
    stopped = stop;
    poweringUp = true;
  }
}
