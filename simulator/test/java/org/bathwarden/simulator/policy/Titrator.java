package org.bathwarden.simulator.policy;

import java.util.SplittableRandom;
import org.bathwarden.simulator.physics.DropTest;
import org.bathwarden.simulator.scenario.ShopFloor;

/**
 * The person who titrates every morning: carefully, with the half drop that counting brings, and
 * now and then with a wrong factor. On which days depends on the seed alone, so that every policy
 * meets the same blunders. One thread.
 */
public final class Titrator {

  /** Share of mornings with a blunder. Common practice, no source. */
  private static final double BLUNDER_SHARE = 0.06;

  private static final double[] BLUNDERS = {0.5, 2.0, 10.0};

  private final ShopFloor floor;
  private final SplittableRandom random;
  private final boolean blunders;

  /** Someone at tank 0 of {@code floor}. */
  public Titrator(ShopFloor floor, long seed, boolean blunders) {
    this.floor = floor;
    this.random = new SplittableRandom(seed);
    this.blunders = blunders;
  }

  /** The drops counted for the morning's sample. */
  public int morning() {
    boolean wrong = random.nextDouble() < BLUNDER_SHARE;
    double factor = BLUNDERS[random.nextInt(BLUNDERS.length)];
    return count(blunders && wrong ? factor : 1.0);
  }

  /** The drops counted for a fresh sample with every care. */
  public int repeated() {
    return count(1.0);
  }

  private int count(double blunder) {
    DropTest careful = DropTest.careful(Disturbance.PCT_PER_DROP);
    return floor.titrate(
        0,
        new DropTest(careful.pctPerDrop(), careful.scatterPct(), careful.scatterDrops(), blunder));
  }

  /**
   * What a person without a controller takes for the morning's result, %, the half drop taken off:
   * a result that is plainly impossible is repeated at once.
   */
  double resultPct(double targetPct) {
    double found = corrected(morning());
    boolean impossible = found < 0.7 * targetPct || found > 1.4 * targetPct;
    return impossible ? corrected(repeated()) : found;
  }

  private static double corrected(int drops) {
    return Math.max(0, drops - 0.5) * Disturbance.PCT_PER_DROP;
  }
}
