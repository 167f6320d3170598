package org.bathwarden.estimate;

import java.util.Optional;
import org.bathwarden.tank.TankSheet;

/**
 * Recognises a loss that is too slow to be a step by a cumulative sum: how far the level has fallen
 * below what evaporation, drag-out and bookings explain, less what their doubt allows.
 */
final class Creep {

  /** Unexplained fall that is always allowed, of the working volume in an hour; judgement. */
  private static final double ALLOWED_SHARE = 0.002;

  /** Times the standard uncertainty of evaporation and drag-out; judgement. */
  private static final double ALLOWED_U = 1.0;

  /** Sum at which it is a leak, of the working volume; judgement. */
  private static final double LIMIT_SHARE = 0.012;

  /** The same in standard deviations of ordinary scatter. */
  private static final double LIMIT_SCATTER = 3;

  /** What parts that no longer come may have displaced, of the working volume; judgement. */
  private static final double PARTS_SHARE = 0.01;

  private static final double PARTS_LEFT_H = 6;

  /** Shorter it is a step, longer it is something else. */
  private static final double SHORTEST_H = 0.5;

  private static final double LONGEST_H = 12;

  /** A leak is presumed to be known so well. */
  private static final double RATE_U = 0.4;

  private Creep() {}

  static double allowedLPerH(Belief belief, TankSheet tank) {
    Gaussian state = belief.state;
    double evaporation =
        belief.counter[Belief.EVAPORATION_GUESS]
            * Math.exp(state.x[Belief.EVAPORATION])
            * Math.sqrt(Math.max(0, state.variance(Belief.EVAPORATION)));
    double dragOut =
        belief.counter[Belief.LOADS_PER_H]
            * Math.exp(state.x[Belief.LOSS])
            * Math.sqrt(Math.max(0, state.variance(Belief.LOSS)));
    return ALLOWED_SHARE * tank.geometry().workingL()
        + ALLOWED_U * Math.hypot(evaporation, dragOut);
  }

  /** A leak, if the sum has come that far. */
  static Optional<Presumed> leak(Belief belief, TankSheet tank) {
    double[] counter = belief.counter;
    double sum = counter[Belief.CREEP_TOP] - counter[Belief.LEVEL_CREEP];
    double scatter = belief.track.scatter(Track.LEVEL, 1);
    double working = tank.geometry().workingL();
    boolean partsLeft =
        counter[Belief.LOAD_AGE_H] > 0.3 && counter[Belief.LOAD_AGE_H] < PARTS_LEFT_H;
    double limit =
        Math.max(LIMIT_SHARE * working, LIMIT_SCATTER * scatter)
            + (partsLeft ? PARTS_SHARE * working : 0);
    double hours = (counter[Belief.AT] - counter[Belief.CREEP_TOP_AT]) / 3.6e6;
    boolean leaking =
        sum > limit
            && hours > SHORTEST_H
            && hours < LONGEST_H
            && belief.state.variance(Belief.LEAK) == 0;
    if (!leaking) {
      return Optional.empty();
    }
    double rate = sum / hours + allowedLPerH(belief, tank);
    return Optional.of(
        new Presumed(
            Presumed.Kind.LEAK,
            (long) counter[Belief.CREEP_TOP_AT],
            belief.atMillis(),
            rate,
            RATE_U * rate,
            sum / scatter));
  }
}
