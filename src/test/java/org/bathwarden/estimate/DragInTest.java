package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.bathwarden.tank.TankSheet;
import org.junit.jupiter.api.Test;

/** Parts that come in wet hide from the level what they carry out. */
class DragInTest {

  private static final double OUT_L = 0.9;
  private static final double IN_L = 0.4;

  /** Ten days of eight loads an hour in which the level tells only the difference of both. */
  private static double lossLearned(double toldInL) {
    TankSheet t = Tanks.sheet().tank();
    TankSheet tank =
        new TankSheet(
            t.id(),
            t.number(),
            t.geometry(),
            t.band(),
            t.metals(),
            t.chemistry(),
            t.water(),
            t.concentrateStrengthPct(),
            t.temperatureSetpointC(),
            0.7,
            toldInL);
    EstimatorSheet sheet = new EstimatorSheet(tank, 5, 0.2, Priors.standard());
    Filter filter = new Filter(sheet);
    Belief belief = filter.first(Tanks.START.toEpochMilli());
    double level = 1000;
    for (int minute = 0; minute < 10 * 24 * 60; minute++) {
      double loads = minute % 15 < 2 ? 1 : 0;
      double vapour = belief.counter[Belief.EVAPORATION_GUESS] / 60;
      double water = level < 990 ? 10 : 0;
      level += water - vapour - loads * (OUT_L - IN_L);
      long at = Tanks.minute(minute).toEpochMilli();
      Step step = new Step(at, at + 60_000, level, 60, Double.NaN, 0, water, loads, true, true);
      filter.run(belief, step, List.of(), List.of());
    }
    return Math.exp(belief.state.x[Belief.LOSS]);
  }

  @Test
  void theLossOfALoadIsLearnedWithWhatComesIn() {
    assertEquals(OUT_L, lossLearned(IN_L), 0.15);
    assertTrue(lossLearned(0) < 0.65, "the control: only the difference is seen");
  }
}
