package org.bathwarden.line;

import java.util.ArrayList;
import java.util.List;
import java.util.function.UnaryOperator;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.Field;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.plc.PlcConfig;

/** A shop floor that shows what the test says; each pump moves 100 mL/s while it is driven. */
public final class TestFloor implements Field {

  public static final double FLOW_ML_S = 100;

  private static final int ALL_PERMITS = 0x1FF;

  private final List<FieldSignals> signals = new ArrayList<>();
  private final List<Double> concentrateMl = new ArrayList<>();

  public TestFloor(int tanks) {
    for (int tank = 0; tank < tanks; tank++) {
      signals.add(
          new FieldSignals(
              800 + tank, 60.5, 48.625, 12.25, 0, 0, 0, ALL_PERMITS, 0, 0, false, false));
      concentrateMl.add(0.0);
    }
  }

  /** PLC settings that go with it, one for each tank. */
  public static List<PlcConfig> configs(int tanks) {
    List<PlcConfig> configs = new ArrayList<>();
    for (int tank = 1; tank <= tanks; tank++) {
      configs.add(
          new PlcConfig(
              tank,
              new PlcConfig.Supply("pump " + tank, FLOW_ML_S, 1, 5_000, 100_000),
              new PlcConfig.Supply("valve " + tank, FLOW_ML_S, 1, 70_000, 1_000_000),
              600,
              1_000,
              true));
    }
    return configs;
  }

  /** Changes what a tank shows. */
  public synchronized void show(int tank, UnaryOperator<FieldSignals> change) {
    signals.set(tank, change.apply(signals.get(tank)));
  }

  /** Water that has flowed and loads that have passed since the start, the rest as it is. */
  public void showTotals(int tank, long waterMl, long loads) {
    show(
        tank,
        s ->
            new FieldSignals(
                s.levelL(),
                s.temperatureC(),
                s.conductivityMsCm(),
                s.ph(),
                s.concentrateMl(),
                waterMl,
                loads,
                s.permits(),
                s.sensorFaults(),
                s.panelKind(),
                s.concentrateRunning(),
                s.waterOpen()));
  }

  /** Level and its declared fault, the rest as it is. */
  public void showLevel(int tank, double levelL, int faults) {
    show(
        tank,
        s ->
            new FieldSignals(
                levelL,
                s.temperatureC(),
                s.conductivityMsCm(),
                s.ph(),
                s.concentrateMl(),
                s.waterMl(),
                s.loads(),
                s.permits(),
                faults,
                s.panelKind(),
                s.concentrateRunning(),
                s.waterOpen()));
  }

  @Override
  public int tanks() {
    return signals.size();
  }

  @Override
  public synchronized FieldSignals signals(int tank) {
    return signals.get(tank);
  }

  @Override
  public synchronized void step(double dtS, List<Actuators> actuators) {
    for (int tank = 0; tank < signals.size(); tank++) {
      boolean runs = actuators.get(tank).concentratePump();
      double total = concentrateMl.get(tank) + (runs ? FLOW_ML_S * dtS : 0);
      concentrateMl.set(tank, total);
      show(
          tank,
          s ->
              new FieldSignals(
                  s.levelL(),
                  s.temperatureC(),
                  s.conductivityMsCm(),
                  s.ph(),
                  (long) total,
                  s.waterMl(),
                  s.loads(),
                  s.permits(),
                  s.sensorFaults(),
                  s.panelKind(),
                  runs,
                  s.waterOpen()));
    }
  }
}
