package org.bathwarden.bench;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.Entry;

/**
 * Times a tank-year of one-minute samples with a titration a day in this process: online, or with
 * the argument {@code hindsight} smoothed over the whole year; its memory is shown by {@code
 * -Xmx400m}.
 */
final class TankYear {

  private static final int DAY_MIN = 24 * 60;
  private static final int YEAR_MIN = 365 * DAY_MIN;

  private static final ThreadMXBean THREADS = ManagementFactory.getThreadMXBean();

  private TankYear() {}

  public static void main(String[] arguments) {
    OneTank tank = new OneTank();
    for (int round = 1; round <= 3; round++) {
      long start = System.nanoTime();
      long startCpu = THREADS.getCurrentThreadCpuTime();
      boolean whole = List.of(arguments).contains("hindsight");
      double sum = whole ? hindsight(tank) : year(tank);
      double seconds = (System.nanoTime() - start) / 1e9;
      System.out.printf(
          "tank-year%s, round %d: %.2f s, of which %.2f s of one core; mean estimate %.3f %%%n",
          whole ? " with hindsight" : "",
          round,
          seconds,
          (THREADS.getCurrentThreadCpuTime() - startCpu) / 1e9,
          sum / YEAR_MIN);
    }
  }

  private static double hindsight(OneTank tank) {
    List<Sample> samples = new ArrayList<>();
    List<Entry> entries = new ArrayList<>();
    for (int minute = 0; minute < YEAR_MIN; minute++) {
      Sample sample = tank.minute(minute);
      samples.add(sample);
      entries.addAll(titrations(tank, minute, sample));
    }
    return Estimator.hindsight(tank.sheet, samples, entries).stream()
        .mapToDouble(Estimate::concentrationPct)
        .sum();
  }

  private static List<Entry> titrations(OneTank tank, int minute, Sample sample) {
    return minute % DAY_MIN == DAY_MIN / 2
        ? List.of(tank.titration("t" + minute, sample.at().minusSeconds(300), sample.at()))
        : List.of();
  }

  private static double year(OneTank tank) {
    EstimateState state = Estimator.start(tank.sheet, tank.start);
    double sum = 0;
    for (int minute = 0; minute < YEAR_MIN; minute++) {
      Sample sample = tank.minute(minute);
      List<Entry> entries = titrations(tank, minute, sample);
      state = Estimator.run(tank.sheet, state, sample, entries);
      sum += Estimator.estimate(tank.sheet, state).concentrationPct();
    }
    return sum;
  }
}
