package org.bathwarden.bench;

import java.util.List;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.Entry;

/** Times a tank-year of one-minute samples with a titration a day, online, in this process. */
final class TankYear {

  private static final int DAY_MIN = 24 * 60;
  private static final int YEAR_MIN = 365 * DAY_MIN;

  private TankYear() {}

  public static void main(String[] arguments) {
    OneTank tank = new OneTank();
    for (int round = 1; round <= 3; round++) {
      long start = System.nanoTime();
      double sum = year(tank);
      double seconds = (System.nanoTime() - start) / 1e9;
      System.out.printf(
          "tank-year, round %d: %.2f s, mean estimate %.3f %%%n", round, seconds, sum / YEAR_MIN);
    }
  }

  private static double year(OneTank tank) {
    EstimateState state = Estimator.start(tank.sheet, tank.start);
    double sum = 0;
    for (int minute = 0; minute < YEAR_MIN; minute++) {
      Sample sample = tank.minute(minute);
      List<Entry> entries =
          minute % DAY_MIN == DAY_MIN / 2
              ? List.of(tank.titration("t" + minute, sample.at().minusSeconds(300), sample.at()))
              : List.of();
      state = Estimator.run(tank.sheet, state, sample, entries);
      sum += Estimator.estimate(tank.sheet, state).concentrationPct();
    }
    return sum;
  }
}
