package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;

/** Makes a failing sequence short: fewer strikes, one tank, shorter strikes, all still failing. */
final class Shrinking {

  private final Predicate<Sequence> fails;

  private Shrinking(Predicate<Sequence> fails) {
    this.fails = fails;
  }

  static Sequence of(Sequence failing, Predicate<Sequence> fails) {
    return new Shrinking(fails).shorter(failing);
  }

  private Sequence shorter(Sequence failing) {
    Sequence shortest = failing;
    if (shortest.tanks() > 1 && fails.test(shortest.onTanks(1))) {
      shortest = shortest.onTanks(1);
    }
    if (shortest.constantPermits() && fails.test(shortest.wired())) {
      shortest = shortest.wired();
    }
    if (shortest.pair() && fails.test(shortest.alone())) {
      shortest = shortest.alone();
    }
    return simpler(fewer(shortest));
  }

  /** Leaves out one strike after the other, until each that is left is needed. */
  private Sequence fewer(Sequence failing) {
    Sequence shortest = failing;
    for (int i = shortest.strikes().size() - 1; i >= 0; i--) {
      List<Strike> without = new ArrayList<>(shortest.strikes());
      without.remove(i);
      Sequence tried = shortest.with(without);
      if (fails.test(tried)) {
        shortest = tried;
      }
    }
    return shortest.strikes().size() < failing.strikes().size() ? fewer(shortest) : shortest;
  }

  /** Halves what each strike lasts as long as that still fails. */
  private Sequence simpler(Sequence failing) {
    Sequence shortest = failing;
    for (int i = 0; i < shortest.strikes().size(); i++) {
      for (Strike s = halved(shortest.strikes().get(i));
          s.lastsMs() < shortest.strikes().get(i).lastsMs();
          s = halved(shortest.strikes().get(i))) {
        List<Strike> changed = new ArrayList<>(shortest.strikes());
        changed.set(i, s);
        Sequence tried = shortest.with(changed);
        if (!fails.test(tried)) {
          break;
        }
        shortest = tried;
      }
    }
    return shortest;
  }

  private static Strike halved(Strike s) {
    long half = Math.max(s.lastsMs() / 2 / 100 * 100, Math.min(s.lastsMs(), 1000));
    return s.lasting(half);
  }
}
