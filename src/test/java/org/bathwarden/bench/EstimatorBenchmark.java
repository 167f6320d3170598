package org.bathwarden.bench;

import java.time.Duration;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.Entry;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/** Cost of the estimator with its whole history of 48 h. */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Fork(1)
@Warmup(iterations = 4, time = 2)
@Measurement(iterations = 6, time = 2)
public class EstimatorBenchmark {

  private static final int FULL_HISTORY_MIN = 50 * 60;
  private static final Duration LATE = Duration.ofHours(12);

  private final OneTank tank = new OneTank();
  private int minute = FULL_HISTORY_MIN;
  private EstimateState running;
  private EstimateState standing;
  private Sample next;
  private List<Entry> late;

  /** Fills the history. */
  @Setup
  public void fill() {
    running = tank.after(FULL_HISTORY_MIN);
    standing = running;
    next = tank.minute(FULL_HISTORY_MIN);
    late = List.of(tank.titration("late", next.at().minus(LATE), next.at()));
  }

  /** One minute more, which closes one step. */
  @Benchmark
  public EstimateState oneStep() {
    running = Estimator.run(tank.sheet, running, tank.minute(minute++), List.of());
    return running;
  }

  /** A titration whose sample was drawn 720 steps ago. */
  @Benchmark
  public EstimateState titrationTwelveHoursLate() {
    return Estimator.run(tank.sheet, standing, next, late);
  }
}
