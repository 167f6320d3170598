package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.SplittableRandom;
import org.bathwarden.bench.campaign.StrikeKind.Where;

/** Makes sequences. The same seed gives the same sequence. */
final class Generator {

  private static final int TWO_TANKS_OF = 6;
  private static final int CONSTANTS_OF = 12;
  private static final long FIRST_AT_MS = 8_000;

  private final SplittableRandom random;

  private Generator(long seed) {
    this.random = new SplittableRandom(seed);
  }

  static Sequence sequence(long seed) {
    return new Generator(seed).sequenceOf(seed);
  }

  private Sequence sequenceOf(long seed) {
    int tanks = random.nextInt(TWO_TANKS_OF) == 0 ? 2 : 1;
    boolean constants = random.nextInt(CONSTANTS_OF) == 0;
    int count = 2 + random.nextInt(7);
    List<Strike> strikes = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      Strike strike = strike(tanks);
      strikes.add(strike);
      if (random.nextInt(4) == 0) {
        strikes.add(near(strike, strike(tanks)));
      }
    }
    strikes.sort(Comparator.comparingLong(Strike::atMs));
    return new Sequence(seed, tanks, constants, strikes);
  }

  private Strike strike(int tanks) {
    StrikeKind kind = kind();
    long lastsMs = 100L * within(10 * kind.leastS, 10 * kind.mostS);
    // Short ones are as telling as long ones: half of them are short.
    if (kind.where != Where.FRAME && random.nextBoolean()) {
      lastsMs = Math.max(1000L * kind.leastS, lastsMs / 8 / 100 * 100);
    }
    return new Strike(
        kind,
        random.nextInt(tanks),
        FIRST_AT_MS
            + 100L * random.nextInt((int) ((Sequence.STRIKES_UNTIL_MS - FIRST_AT_MS) / 100)),
        afterOrderMs(kind),
        lastsMs,
        within(kind.smallest, kind.largest));
  }

  /** Most of what can go wrong does so around an order, or it shows nothing. */
  private long afterOrderMs(StrikeKind kind) {
    boolean people = kind.where == Where.PEOPLE || kind.where == Where.BROKER;
    if (people || random.nextInt(3) == 0) {
      return -1;
    }
    boolean atOnce = kind.where == Where.FRAME || random.nextInt(3) == 0;
    return atOnce ? 0 : 100L * random.nextInt(300);
  }

  /** {@code other} strikes while, or just after, {@code one} does. */
  private Strike near(Strike one, Strike other) {
    long later = 100L * random.nextInt(50);
    return new Strike(
        other.kind(),
        one.tank(),
        one.waitsForOrder() ? one.atMs() : one.atMs() + later,
        one.waitsForOrder() ? one.afterOrderMs() + later : -1,
        other.lastsMs(),
        other.size());
  }

  private StrikeKind kind() {
    int all = 0;
    for (StrikeKind kind : StrikeKind.values()) {
      all += kind.weight;
    }
    int drawn = random.nextInt(all);
    for (StrikeKind kind : StrikeKind.values()) {
      drawn -= kind.weight;
      if (drawn < 0) {
        return kind;
      }
    }
    throw new IllegalStateException("weights");
  }

  private int within(int least, int most) {
    return least + random.nextInt(most - least + 1);
  }
}
