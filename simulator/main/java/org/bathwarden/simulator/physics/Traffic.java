package org.bathwarden.simulator.physics;

import java.time.LocalDateTime;
import java.util.random.RandomGenerator;

/** The loads that come to one tank, one at a time, at seeded moments. One thread. */
final class Traffic {

  /** What happened in a step. */
  enum Event {
    NOTHING,
    ENTERED,
    LEFT
  }

  private static final double BURST_LOADS_PER_H = 6.0;

  private final LoadProfile profile;
  private final RandomGenerator random;
  private double waiting;
  private double nextAt;
  private double leftInBathS;
  private double sinceLeftS = 1e6;
  private long loads;

  Traffic(LoadProfile profile, RandomGenerator random) {
    this.profile = profile;
    this.random = random;
    this.nextAt = random.nextDouble();
  }

  /**
   * Runs {@code dtS} on.
   *
   * @param local local time, for the shifts
   * @param burst factor on the loads per hour; above 1 loads come outside the shifts too
   */
  Event step(double dtS, LocalDateTime local, double burst) {
    double perHour = profile.loadsPerHour(local);
    if (burst > 1.0) {
      perHour = burst * Math.max(perHour, BURST_LOADS_PER_H);
    }
    waiting += perHour * dtS / 3600.0;
    sinceLeftS += dtS;
    if (inBath()) {
      leftInBathS -= dtS;
      if (inBath()) {
        return Event.NOTHING;
      }
      loads++;
      sinceLeftS = 0.0;
      return Event.LEFT;
    }
    if (waiting < nextAt || perHour == 0.0) {
      return Event.NOTHING;
    }
    waiting = Math.min(waiting - nextAt, 3.0);
    nextAt = Math.max(0.3, Math.min(2.0, 1.0 + 0.35 * random.nextGaussian()));
    leftInBathS = profile.inBathS() * (0.9 + 0.2 * random.nextDouble());
    return Event.ENTERED;
  }

  boolean inBath() {
    return leftInBathS > 0.0;
  }

  /** Seconds since the last load left; large if none did. */
  double sinceLeftS() {
    return inBath() ? 0.0 : sinceLeftS;
  }

  /** Loads that have left the bath. */
  long loads() {
    return loads;
  }

  /** What the load that leaves takes along against the mean, 1 on average (log-normal). */
  double dragOutFactor() {
    double spread = profile.dragOutScatterPct() / 100.0;
    return Math.exp(spread * random.nextGaussian() - 0.5 * spread * spread);
  }
}
