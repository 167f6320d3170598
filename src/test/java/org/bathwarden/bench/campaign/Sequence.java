package org.bathwarden.bench.campaign;

import java.util.List;

/**
 * All that befalls in one run, as data.
 *
 * @param seed of the plant's chance, and of what is left to chance in a strike
 * @param tanks 1, or 2 that share pump and drum
 * @param constantPermits whether the permits for a closed drain and nobody at the tank are wired to
 *     constants
 * @param strikes in the order of their times
 */
record Sequence(long seed, int tanks, boolean constantPermits, List<Strike> strikes) {

  /** The last strike comes before this, ms. */
  static final long STRIKES_UNTIL_MS = 300_000;

  Sequence {
    strikes = List.copyOf(strikes);
  }

  Sequence with(List<Strike> fewer) {
    return new Sequence(seed, tanks, constantPermits, fewer);
  }

  Sequence onTanks(int fewer) {
    return new Sequence(
        seed, fewer, constantPermits, strikes.stream().filter(s -> s.tank() < fewer).toList());
  }
}
