package org.bathwarden.bench.campaign;

import java.util.List;
import java.util.function.Predicate;
import org.bathwarden.bench.campaign.StrikeKind.Where;

/**
 * All that befalls in one run, as data.
 *
 * @param seed of the plant's chance, and of what is left to chance in a strike
 * @param tanks 1, or 2 that share pump and drum
 * @param constantPermits whether the permits for a closed drain and nobody at the tank are wired to
 *     constants
 * @param pair whether two controllers of one pair run from the start
 * @param strikes in the order of their times
 */
record Sequence(long seed, int tanks, boolean constantPermits, boolean pair, List<Strike> strikes) {

  /** The last strike comes before this, ms, unless one lasts for hours. */
  static final long STRIKES_UNTIL_MS = 300_000;

  Sequence {
    strikes = List.copyOf(strikes);
  }

  /** With one controller. */
  Sequence(long seed, int tanks, boolean constantPermits, List<Strike> strikes) {
    this(seed, tanks, constantPermits, false, strikes);
  }

  Sequence with(List<Strike> others) {
    return new Sequence(seed, tanks, constantPermits, pair, others);
  }

  Sequence onTanks(int fewer) {
    return new Sequence(seed, fewer, constantPermits, pair, only(s -> s.tank() < fewer));
  }

  Sequence wired() {
    return new Sequence(seed, tanks, false, pair, strikes);
  }

  Sequence alone() {
    return new Sequence(seed, tanks, constantPermits, false, only(s -> s.controller() == 1));
  }

  /**
   * What befalls one controller: the first has what befalls the plant too; people come to both with
   * what they titrate and put in order.
   */
  Sequence at(int controller) {
    return with(
        only(
            s ->
                s.controller() == controller
                    || (s.kind().where == Where.PEOPLE && !s.kind().bathWork())));
  }

  /** How long a broker is away for hours, ms. */
  long hoursMs() {
    return strikes.stream()
        .filter(s -> s.kind() == StrikeKind.BROKER_AWAY)
        .mapToLong(Strike::lastsMs)
        .max()
        .orElse(0);
  }

  private List<Strike> only(Predicate<Strike> which) {
    return strikes.stream().filter(which).toList();
  }
}
