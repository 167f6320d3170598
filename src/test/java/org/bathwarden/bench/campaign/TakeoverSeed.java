package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.SplittableRandom;
import org.bathwarden.bench.campaign.StrikeKind.Where;
import org.bathwarden.dosing.Pair.Takeover;

/**
 * What befalls two controllers on one line, as data. The same seed gives the same.
 *
 * @param seed of the plant's chance
 * @param takeover how both are configured
 * @param startsMs when each process starts, ms
 * @param strikes what befalls the line, the controller that commands then, or the other
 * @param people what people do at each
 */
record TakeoverSeed(
    long seed,
    Takeover takeover,
    List<Long> startsMs,
    List<Aimed> strikes,
    List<List<Strike>> people) {

  /** A strike at the controller that commands when its time has come, or at the other. */
  record Aimed(Strike strike, boolean atHolder) {}

  /** The last strike comes before this, ms. */
  static final long STRIKES_UNTIL_MS = 150_000;

  /** When engineers put both in order at last, ms after that. */
  private static final long[] PUT_IN_ORDER_MS = {40_000, 62_000, 84_000, 106_000};

  /** What strikes later may not be in order at the end, ms. */
  static final long IN_ORDER_FROM_MS = STRIKES_UNTIL_MS + PUT_IN_ORDER_MS[0];

  /** All is settled by then, ms. */
  static final long END_MS = STRIKES_UNTIL_MS + 135_000;

  private static final long FIRST_AT_MS = 15_000;

  private static final List<StrikeKind> KINDS =
      List.of(
          StrikeKind.CRASH,
          StrikeKind.CRASH,
          StrikeKind.CRASH,
          StrikeKind.CRASH,
          StrikeKind.FREEZE,
          StrikeKind.FREEZE,
          StrikeKind.LINK_CUT,
          StrikeKind.LINK_CUT,
          StrikeKind.HALF_OPEN,
          StrikeKind.ONE_WAY,
          StrikeKind.SLOW_REPLIES,
          StrikeKind.LATE_WRITE,
          StrikeKind.LOST_WRITE_REPLY,
          StrikeKind.TAKE_LINE,
          StrikeKind.PLC_RESTART,
          StrikeKind.PLC_MEMORY_LOST);

  static TakeoverSeed of(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    boolean onRequest = random.nextInt(5) == 0;
    List<Long> starts =
        List.of(
            100L * random.nextInt(30), random.nextInt(3) == 0 ? 100L * random.nextInt(30) : 5_000L);
    List<Aimed> strikes = new ArrayList<>();
    List<List<Strike>> people = List.of(new ArrayList<>(), new ArrayList<>());
    int count = 2 + random.nextInt(4);
    for (int i = 0; i < count; i++) {
      Strike strike = strike(random);
      strikes.add(new Aimed(strike, random.nextInt(5) > 0));
      for (List<Strike> each : people) {
        if (random.nextInt(3) > 0) {
          each.add(people(StrikeKind.ENGINEER, strike.atMs() + 15_000 + random.nextInt(40_000)));
        }
        if (onRequest && random.nextInt(3) == 0) {
          each.add(people(StrikeKind.TAKE_LINE, strike.atMs() + 10_000 + random.nextInt(30_000)));
        }
      }
    }
    for (List<Strike> each : people) {
      for (long ms : PUT_IN_ORDER_MS) {
        each.add(people(StrikeKind.ENGINEER, STRIKES_UNTIL_MS + ms));
      }
    }
    if (onRequest) {
      people.get(0).add(people(StrikeKind.TAKE_LINE, STRIKES_UNTIL_MS + 76_000));
    }
    strikes.sort(Comparator.comparingLong(a -> a.strike().atMs()));
    return new TakeoverSeed(
        seed, onRequest ? Takeover.ON_REQUEST : Takeover.AUTOMATIC, starts, strikes, people);
  }

  private static Strike people(StrikeKind kind, long atMs) {
    return new Strike(kind, 0, atMs, -1, 0, 0);
  }

  private static Strike strike(SplittableRandom random) {
    StrikeKind kind = KINDS.get(random.nextInt(KINDS.size()));
    boolean aroundAnOrder = kind.where != Where.PEOPLE && random.nextInt(3) > 0;
    boolean atOnce = kind.where == Where.FRAME || random.nextInt(2) == 0;
    return new Strike(
        kind,
        0,
        FIRST_AT_MS + 100L * random.nextInt((int) (STRIKES_UNTIL_MS - FIRST_AT_MS) / 100),
        aroundAnOrder ? (atOnce ? 0 : 100L * random.nextInt(300)) : -1,
        1000L + 100L * random.nextInt(300),
        kind.smallest + random.nextInt(kind.largest + 1 - kind.smallest));
  }

  /** What people do at controller {@code index}, from 0. */
  Sequence sequence(int index) {
    return new Sequence(seed, 1, false, people.get(index));
  }
}
