package org.bathwarden.simulator;

import java.time.Duration;
import java.util.List;
import java.util.stream.IntStream;
import org.bathwarden.simulator.plc.PlcConfig;

/**
 * Times the simulated line: three tanks with both servers idle. Below a thousand times real time it
 * exits with 1; the bound is the requirement.
 */
final class LineSpeed {

  static final int TANKS = 3;

  private static final double LEAST = 1000;
  private static final int ROUNDS = 3;

  private LineSpeed() {}

  public static void main(String[] arguments) {
    double best = 0;
    try (SimulatedLine line =
        SimulatedLine.open(
            new TrivialFloor(TANKS), configs(), SimulatedLine.Options.onLoopback())) {
      line.advance(Duration.ofMinutes(30));
      for (int round = 1; round <= ROUNDS; round++) {
        Duration simulated = Duration.ofHours(2);
        long start = System.nanoTime();
        line.advance(simulated);
        double speed = (double) simulated.toNanos() / (System.nanoTime() - start);
        System.out.printf("simulated line, round %d: %.0f times real time%n", round, speed);
        best = Math.max(best, speed);
      }
    }
    System.exit(best >= LEAST ? 0 : 1);
  }

  /** A pump and a valve for each tank. */
  static List<PlcConfig> configs() {
    return IntStream.rangeClosed(1, TANKS).mapToObj(LineSpeed::config).toList();
  }

  private static PlcConfig config(int tank) {
    return new PlcConfig(
        tank,
        new PlcConfig.Supply("P" + tank, 20, 1, 2000, 10000),
        new PlcConfig.Supply("W" + tank, 200, 10, 20000, 100000),
        600,
        400,
        true);
  }
}
