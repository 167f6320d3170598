package org.bathwarden.simulator;

import java.util.ArrayList;
import java.util.List;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.Field;
import org.bathwarden.simulator.field.FieldSignals;

/** A floor where pumps run at exactly 20 mL/s, valves at 200 mL/s, and every permit is good. */
final class TrivialFloor implements Field {

  private final double[] concentrateMl;
  private final double[] waterMl;
  private final List<Actuators> driven = new ArrayList<>();
  private double elapsedS;

  TrivialFloor(int tanks) {
    concentrateMl = new double[tanks];
    waterMl = new double[tanks];
    for (int k = 0; k < tanks; k++) {
      driven.add(Actuators.OFF);
    }
  }

  double elapsedS() {
    return elapsedS;
  }

  @Override
  public int tanks() {
    return concentrateMl.length;
  }

  @Override
  public FieldSignals signals(int tank) {
    Actuators on = driven.get(tank);
    return new FieldSignals(
        300 + (concentrateMl[tank] + waterMl[tank]) / 1000,
        60,
        50,
        12.8,
        Math.round(concentrateMl[tank]),
        (long) (waterMl[tank] / 10 + 1e-6) * 10,
        0,
        255,
        0,
        0,
        on.concentratePump(),
        on.waterValve());
  }

  @Override
  public void step(double dtS, List<Actuators> actuators) {
    elapsedS += dtS;
    for (int k = 0; k < concentrateMl.length; k++) {
      driven.set(k, actuators.get(k));
      concentrateMl[k] += actuators.get(k).concentratePump() ? 20 * dtS : 0;
      waterMl[k] += actuators.get(k).waterValve() ? 200 * dtS : 0;
    }
  }
}
