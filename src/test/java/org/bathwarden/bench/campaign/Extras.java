package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.bathwarden.bench.campaign.StrikeKind.Where;

/**
 * What befalls some of the generator's sequences beside: people who drain and charge baths, a
 * second controller of a pair, a broker that is away for hours. Drawn apart, so that a sequence
 * without any is the generator's own.
 */
final class Extras {

  private static final int BATH_WORK_OF = 6;
  private static final int PAIR_OF = 14;
  private static final int HOURS_OF = 200;

  /** So many strikes beside in the hours of a broker away. */
  private static final int IN_HOURS = 12;

  private static final List<StrikeKind> WORK =
      List.of(StrikeKind.BATH_DRAIN, StrikeKind.BATH_CHARGE, StrikeKind.BATH_CHANGE_OUT);
  private static final Set<Where> ONE_CONTROLLERS =
      EnumSet.of(Where.PROCESS, Where.WIRE, Where.FRAME, Where.STORE);

  private final SplittableRandom random;

  private Extras(long seed) {
    this.random = new SplittableRandom(seed * 31 + 7);
  }

  /** The sequence of {@code seed}, with what befalls it beside. */
  static Sequence sequence(long seed) {
    return new Extras(seed).more(Generator.sequence(seed));
  }

  private Sequence more(Sequence plain) {
    List<Strike> strikes = new ArrayList<>(plain.strikes());
    boolean work = random.nextInt(BATH_WORK_OF) == 0;
    boolean pair = random.nextInt(PAIR_OF) == 0;
    boolean hours = random.nextInt(HOURS_OF) == 0;
    if (hours) {
      strikes.addAll(hours(plain));
    }
    if (work || hours) {
      strikes.add(work(plain.tanks()));
    }
    if (pair) {
      strikes.removeIf(s -> s.kind() == StrikeKind.SECOND_CONTROLLER);
      strikes.replaceAll(this::aimed);
    }
    strikes.sort(Comparator.comparingLong(Strike::atMs));
    return new Sequence(plain.seed(), plain.tanks(), plain.constantPermits(), pair, strikes);
  }

  /** What strikes one controller strikes the second as often as the first. */
  private Strike aimed(Strike strike) {
    boolean second = ONE_CONTROLLERS.contains(strike.kind().where) && random.nextBoolean();
    return second ? strike.at(2) : strike;
  }

  /** Early enough to come far. */
  private Strike work(int tanks) {
    StrikeKind kind = WORK.get(random.nextInt(WORK.size()));
    int size = kind.smallest + random.nextInt(kind.largest - kind.smallest + 1);
    return new Strike(
        kind, random.nextInt(tanks), 10_000 + 100L * random.nextInt(1000), -1, 0, size);
  }

  /** The broker goes early and comes back hours later; what befalls meanwhile is drawn as ever. */
  private List<Strike> hours(Sequence plain) {
    int within = StrikeKind.BROKER_AWAY.mostS - StrikeKind.BROKER_AWAY.leastS;
    long awayMs = 1000L * (StrikeKind.BROKER_AWAY.leastS + random.nextInt(within));
    List<Strike> strikes = new ArrayList<>();
    strikes.add(new Strike(StrikeKind.BROKER_AWAY, 0, 20_000, -1, awayMs, 0));
    for (int i = 0; i < IN_HOURS; i++) {
      Strike like = plain.strikes().get(random.nextInt(plain.strikes().size()));
      long atMs = Sequence.STRIKES_UNTIL_MS + 100L * random.nextInt((int) (awayMs / 100));
      strikes.add(
          new Strike(
              like.kind(), like.tank(), atMs, like.afterOrderMs(), like.lastsMs(), like.size()));
    }
    strikes.removeIf(s -> s.kind() == StrikeKind.SECOND_CONTROLLER);
    return strikes;
  }
}
