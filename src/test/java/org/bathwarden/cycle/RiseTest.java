package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.Random;
import java.util.Set;
import java.util.function.DoubleUnaryOperator;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;
import org.junit.jupiter.api.Test;

/** Whether the level follows what the totalizer counted. The noise is invented, and seeded. */
class RiseTest {

  /**
   * Waves of 0.12 % of the tank that last 8 s, and 0.04 % of noise beside them: a rough surface.
   */
  private static final double WAVES_L = 1.2;

  private static final double WHITE_L = 0.4;
  private static final double WAVES_S = 8;
  private static final int DOSES = 2000;
  private static final double PORTION_L = 5.6;

  private static final TankSheet TANK = Plant.sheet(Mode.OFF).tank();
  private static final Estimate ESTIMATE = new Bench(Mode.OFF).estimate();

  /** How many of so many doses are found not to have risen; {@code share} of each arrives. */
  private static int found(int doses, double portionL, double share, long seed) {
    Random random = new Random(seed);
    int found = 0;
    double keeps = Math.exp(-1 / WAVES_S);
    for (int i = 0; i < doses; i++) {
      double[] wave = {WAVES_L * random.nextGaussian()};
      DoubleUnaryOperator shown =
          level -> {
            wave[0] =
                keeps * wave[0] + Math.sqrt(1 - keeps * keeps) * WAVES_L * random.nextGaussian();
            return level + wave[0] + WHITE_L * random.nextGaussian();
          };
      found += rises(portionL, share, shown, true) ? 1 : 0;
    }
    return found;
  }

  private static boolean rises(
      double portionL, double share, DoubleUnaryOperator shown, boolean settled) {
    RiseWatch watch = RiseWatch.START;
    double level = 950;
    boolean found = false;
    for (int s = 0; s < 420; s++) {
      double flow = s >= 150 && s < 210 ? portionL / 60 : 0;
      level += share * flow;
      watch =
          watch.after(TANK, sample(s, shown.applyAsDouble(level), flow, settled), ESTIMATE, false);
      found |= watch.found().isPresent();
    }
    return found;
  }

  private static Sample sample(int s, double levelL, double flowL, boolean settled) {
    Instant at = Plant.T0.plusSeconds(s);
    return new Sample(at, levelL, 20, 60, 12, 1000 * flowL, 0, 0, true, settled || s % 100 != 0);
  }

  @Test
  void aRoughSurfaceRaisesNoFalseAlarm() {
    int found = found(DOSES, PORTION_L, 1, 11);
    assertTrue(found <= DOSES / 1000, found + ": at most one in a thousand doses");
  }

  @Test
  void aPortionThatNeverArrivesIsFound() {
    int found = found(DOSES, PORTION_L, 0, 12);
    assertTrue(found > 0.9 * DOSES, found + " of " + DOSES);
  }

  @Test
  void aDoseAsSmallAsTheNoiseGetsNoVerdict() {
    assertEquals(0, found(DOSES / 10, 1.5, 0, 13));
  }

  @Test
  void loadsThatMoveLeaveNoVerdict() {
    assertFalse(rises(PORTION_L, 0, level -> level, false));
    assertTrue(rises(PORTION_L, 0, level -> level, true));
  }

  @Test
  void aHoseThatCameOffTripsAfterTheOrder() {
    Bench bench = weak();
    bench.hoseOff = true;
    ordered(bench);
    assertTrue(bench.last.view().verdict().active().contains(Cause.CONCENTRATE_MISCOUNT));
    assertFalse(bench.last.view().verdict().of(Product.CONCENTRATE).allowed());
    assertTrue(bench.last.view().verdict().of(Product.WATER).allowed());
    bench.run(60);
    assertTrue(
        bench.state.alarm().active(AlarmKey.TOTALIZER_MISMATCH)
            || bench.state.alarm().pending(AlarmKey.TOTALIZER_MISMATCH));
  }

  @Test
  void anOrderThatArrivesTripsNothing() {
    Bench bench = weak();
    ordered(bench);
    assertFalse(bench.last.view().verdict().active().contains(Cause.CONCENTRATE_MISCOUNT));
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.TOTALIZER_MISMATCH));
  }

  private static Bench weak() {
    Bench bench = new Bench(Plant.sheet(Mode.COMMAND), 960, 8.5);
    bench.granted = Set.of();
    bench.ready();
    bench.titrate();
    bench.run(150);
    bench.granted = Set.of(Plant.DRUM);
    return bench;
  }

  private static void ordered(Bench bench) {
    bench.until(200, () -> !bench.events(DosingEvent.OrderClosed.class).isEmpty());
    bench.run(180);
  }
}
