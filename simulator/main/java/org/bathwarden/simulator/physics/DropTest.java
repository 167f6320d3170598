package org.bathwarden.simulator.physics;

import java.util.random.RandomGenerator;

/**
 * A titration by drops as people do it. The drop that completes the change of colour is counted, so
 * the count reads half a drop high on average.
 *
 * @param pctPerDrop concentration that a drop stands for, from normality, %
 * @param scatterPct spread of sample and drop size, % of the result
 * @param scatterDrops spread of judging the colour, drops
 * @param blunder factor of a blunder on the result: 1 for none, 2 for twice the sample
 */
public record DropTest(double pctPerDrop, double scatterPct, double scatterDrops, double blunder) {

  /** Checks the ranges. */
  public DropTest {
    Check.within("pct_per_drop", pctPerDrop, 0.001, 10);
    Check.within("scatter_pct", scatterPct, 0, 50);
    Check.within("scatter_drops", scatterDrops, 0, 10);
    Check.within("blunder", blunder, 0.01, 100);
  }

  /** A careful person's test with drops of {@code pctPerDrop} %. */
  public static DropTest careful(double pctPerDrop) {
    return new DropTest(pctPerDrop, 1.5, 0.3, 1.0);
  }

  /** Counts the drops for a sample of {@code concentrationPct}. */
  int count(double concentrationPct, RandomGenerator random) {
    double drops = concentrationPct / pctPerDrop * blunder;
    double seen =
        drops * (1.0 + scatterPct / 100.0 * random.nextGaussian())
            + scatterDrops * random.nextGaussian();
    return Math.max(0, (int) Math.ceil(seen));
  }
}
