package org.bathwarden.simulator.scenario;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import org.bathwarden.simulator.field.Actuators;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The demo can be won within the dosing limits that its comments name, and lost without dosing. */
class DemoTest {

  private static final double LOW = 6.8;
  private static final double HIGH = 9.7;

  /** Doses the given litres at each of the given minutes; returns the concentrations in the end. */
  private static List<Double> play(long seed, boolean dosing, int minutes) {
    ShopFloor floor = new ShopFloor(ShopFloorTest.shipped("demo"), seed);
    double[] startMl = new double[3];
    for (int minute = 0; minute < minutes; minute++) {
      if (minute == 4 || minute == 16 || minute == 28) {
        startMl[0] = floor.truth(0).concentrateInMl();
        startMl[1] = floor.truth(1).waterInMl();
        startMl[2] = floor.truth(2).waterInMl();
      }
      // Two portions each, 12 min apart: 3.6 L; 2 % of V; the third tank's hour of water as well.
      boolean dose = dosing && minute >= 4 && minute < 28;
      for (int i = 0; i < 600; i++) {
        boolean weak = dose && floor.truth(0).concentrateInMl() - startMl[0] < 3600;
        boolean strong = dose && floor.truth(1).waterInMl() - startMl[1] < 14_500;
        boolean low = dose && floor.truth(2).waterInMl() - startMl[2] < 13_500;
        floor.step(
            0.1,
            List.of(
                new Actuators(weak, false),
                new Actuators(false, strong),
                new Actuators(false, low)));
      }
    }
    List<Double> result = new ArrayList<>();
    for (int t = 0; t < 3; t++) {
      result.add(floor.truth(t).concentrationPct());
    }
    result.add(floor.truth(2).volumeL());
    return result;
  }

  @ParameterizedTest
  @ValueSource(longs = {7, 8, 9, 10, 11, 12})
  void twoPortionsBringEachTankIntoBandWithinFortyMinutes(long seed) {
    List<Double> end = play(seed, true, 40);
    for (int t = 0; t < 3; t++) {
      assertTrue(end.get(t) > LOW && end.get(t) < HIGH, "tank " + (t + 1) + ": " + end);
    }
    assertTrue(end.get(3) > 705, "level " + end);
  }

  @ParameterizedTest
  @ValueSource(longs = {7, 8, 9})
  void withoutDosingNothingGetsBetterInTenHours(long seed) {
    List<Double> start = play(seed, false, 0);
    assertEquals(6.4, start.get(0), 1e-9);
    assertEquals(10.0, start.get(1), 1e-9);
    assertEquals(8.0, start.get(2), 1e-9);
    List<Double> end = play(seed, false, 600);
    assertTrue(end.get(0) < LOW && end.get(1) > HIGH, end.toString());
  }
}
