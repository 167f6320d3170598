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
  private static final int AIMED_OF = 3;
  private static final long FIRST_AT_MS = 8_000;

  /** Frames of the pass that orders: the heartbeat, the block, its commit. */
  private static final int BLOCK_FRAME = 1;

  private static final int COMMIT_FRAME = 2;

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
    if (random.nextInt(AIMED_OF) == 0) {
      strikes.add(aimed(random.nextInt(tanks)));
    }
    if (constants && random.nextBoolean()) {
      strikes.add(drained(random.nextInt(tanks)));
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
    int tank = random.nextInt(tanks);
    return new Strike(
        kind, tank, someTime(), afterOrderMs(kind), lastsMs, within(kind.smallest, kind.largest));
  }

  private long someTime() {
    return FIRST_AT_MS
        + 100L * random.nextInt((int) ((Sequence.STRIKES_UNTIL_MS - FIRST_AT_MS) / 100));
  }

  /**
   * What tells whether orders are settled right, and what chance alone seldom meets: frames that
   * arrive when nobody waits for them any more, counts that rise after the end, the process killed
   * between an order's end and its final count.
   */
  private Strike aimed(int tank) {
    return switch (random.nextInt(5)) {
      case 0 -> atOrder(StrikeKind.LATE_WRITE, tank, 0, 4000 + ms(5500), COMMIT_FRAME);
      case 1 -> atOrder(StrikeKind.LATE_WRITE, tank, 0, 3000 + ms(9000), BLOCK_FRAME);
      case 2 ->
          atOrder(
              StrikeKind.WELDED_CONTACT, tank, 8000 + ms(12_000), 10_000 + ms(15_000), anyOutput());
      case 3 -> atOrder(StrikeKind.SIPHON, tank, 8000 + ms(12_000), 10_000 + ms(30_000), 1);
      default -> atOrder(StrikeKind.CRASH, tank, 18_000 + ms(8000), ms(20_000), random.nextInt(15));
    };
  }

  private Strike atOrder(StrikeKind kind, int tank, long afterMs, long lastsMs, int size) {
    return new Strike(kind, tank, someTime(), afterMs, lastsMs, size);
  }

  private int anyOutput() {
    return 1 + random.nextInt(2);
  }

  /** The drain is open long enough to be found by the level alone. */
  private Strike drained(int tank) {
    long lastsMs = 180_000 + ms(100_000);
    return new Strike(StrikeKind.DRAIN_OPEN, tank, someTime(), -1, lastsMs, within(20, 60));
  }

  private long ms(int most) {
    return 100L * random.nextInt(most / 100);
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
