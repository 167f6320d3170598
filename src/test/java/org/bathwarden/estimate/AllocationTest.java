package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.List;
import org.junit.jupiter.api.Test;

/** What a step leaves for the collector, by the JVM's own count of this thread's allocations. */
class AllocationTest {

  private static final int STEPS = 2000;
  private static final ThreadMXBean THREADS = (ThreadMXBean) ManagementFactory.getThreadMXBean();

  private static Step step(int i) {
    return new Step(
        (i - 1) * 60_000L,
        i * 60_000L,
        1016 + i % 5 - 2,
        60 + 0.1 * (i % 3),
        50.5 + 0.2 * (i % 7),
        i % 60 == 0 ? 0.3 : 0,
        i % 60 == 0 ? 3 : 0,
        i % 10 == 0 ? 1 : 0,
        true,
        true);
  }

  /** Bytes of one step of the filter on a belief of the caller's. */
  static double perStep() {
    Filter filter = new Filter(Tanks.sheet());
    Belief belief = filter.first(0);
    Step[] steps = new Step[2 * STEPS];
    for (int i = 0; i < steps.length; i++) {
      steps[i] = step(i + 1);
    }
    for (int i = 0; i < STEPS; i++) {
      filter.run(belief, steps[i], List.of(), List.of());
    }
    long before = THREADS.getThreadAllocatedBytes(Thread.currentThread().getId());
    for (int i = STEPS; i < 2 * STEPS; i++) {
      filter.run(belief, steps[i], List.of(), List.of());
    }
    long after = THREADS.getThreadAllocatedBytes(Thread.currentThread().getId());
    return (after - before) / (double) STEPS;
  }

  @Test
  void aStepOfTheFilterAllocatesNothing() {
    double bytes = perStep();
    assertTrue(bytes < 1, bytes + " bytes a step");
  }
}
