package org.bathwarden.simulator.physics;

import java.util.random.RandomGenerator;

/** Correlated noise about zero (Ornstein and Uhlenbeck) with a given spread and memory. */
final class Wander {

  private final double spread;
  private final double memoryS;
  private final RandomGenerator random;
  private double value;

  /** Starts somewhere within its spread. */
  Wander(double spread, double memoryS, RandomGenerator random) {
    this.spread = spread;
    this.memoryS = memoryS;
    this.random = random;
    this.value = spread * random.nextGaussian();
  }

  /** The value {@code dtS} seconds later. */
  double step(double dtS) {
    double kept = Math.exp(-dtS / memoryS);
    value = kept * value + spread * Math.sqrt(1.0 - kept * kept) * random.nextGaussian();
    return value;
  }
}
