package org.bathwarden.estimate;

import static org.bathwarden.estimate.Belief.ALKALI;
import static org.bathwarden.estimate.Belief.FOREIGN;
import static org.bathwarden.estimate.Belief.GAIN;
import static org.bathwarden.estimate.Belief.OFFSET;
import static org.bathwarden.estimate.Belief.VOLUME;

import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.WaterDensity;

/** Takes what people did to the tank into a belief. */
final class Bookings {

  /** Doubt of a volume poured or drained by hand, as a share (common practice, no source). */
  private static final double HAND_SHARE = 0.08;

  /** People note the time of a probe's care when they are done with it; judgement. */
  private static final long CARE_LEAD_MILLIS = 15 * 60_000;

  /** A probe that is cared for is not used for so long, h: the lead and 24 min; judgement. */
  private static final double CARE_H = 0.65;

  private final TankSheet tank;
  private final Priors priors;
  private final Balance balance;
  private final Recharge recharge;

  Bookings(EstimatorSheet sheet, Balance balance, Recharge recharge) {
    tank = sheet.tank();
    priors = sheet.priors();
    this.balance = balance;
    this.recharge = recharge;
  }

  /** Whether this entry is one that changes the belief besides titrations. */
  static boolean known(Entry entry) {
    return entry instanceof Entry.Addition
        || entry instanceof Entry.Removal
        || entry instanceof Entry.UnseenFlow
        || entry instanceof Entry.Charge
        || entry instanceof Entry.ProbeCare;
  }

  /** From when on an entry changes the belief, ms since the epoch. */
  static long fromMillis(Entry entry) {
    long happened = entry.stamp().happenedAt().toEpochMilli();
    boolean care = entry instanceof Entry.ProbeCare c && c.probe().equals("conductivity");
    return care ? happened - CARE_LEAD_MILLIS : happened;
  }

  void book(Belief belief, Entry entry) {
    if (entry instanceof Entry.Addition addition) {
      add(belief, addition);
    } else if (entry instanceof Entry.Removal removal) {
      remove(belief, removal);
    } else if (entry instanceof Entry.UnseenFlow unseen) {
      doubt(belief, unseen);
    } else if (entry instanceof Entry.Charge charge) {
      recharge.charge(belief, charge);
    } else if (entry instanceof Entry.ProbeCare care) {
      care(belief, care);
    }
    belief.bound(3 * tank.geometry().maximumL());
    belief.settleCredit(1 / belief.concentrationVariance());
  }

  /** Takes in what nobody told. */
  void presume(Belief belief, Presumed presumed) {
    double size = presumed.size();
    double u = presumed.u();
    Gaussian state = belief.state;
    switch (presumed.kind()) {
      case CONCENTRATE -> add(belief, tank.concentrateStrengthPct(), size, u);
      case NO_DOSE -> add(belief, tank.concentrateStrengthPct(), -size, u);
      case METER, METER_BACK -> {
        state.widen(Belief.DELIVERED, u * u);
        state.x[Belief.DELIVERED] += size;
        belief.counter[Belief.DOSE_PRODUCT] = 0;
        belief.counter[Belief.DOSE_SQUARE] = 0;
      }
      case WATER -> add(belief, tank.water().strengthPct(), size, u);
      case DUMP -> take(belief, size, u);
      case LEAK -> {
        state.set(Belief.LEAK, size, u * u);
        belief.counter[Belief.LEVEL_CREEP] = Double.NaN;
      }
      case LEVEL_OFF -> {
        belief.counter[Belief.LEVEL_OFF] = size;
        belief.counter[Belief.LEVEL_OFF_H] = 0;
        belief.counter[Belief.LEVEL_BASE] = belief.track.mean(Track.LEVEL, 0, Track.BEFORE);
      }
      case PROBE_STEP -> {
        state.widen(GAIN, u * u);
        state.x[GAIN] += size;
        belief.track.expect(0, size);
      }
    }
    if (presumed.kind() == Presumed.Kind.WATER) {
      belief.counter[Belief.LEVEL_OFF] = 0;
    }
    belief.counter[Belief.UNEXPLAINED_AGE_H] = 0;
    belief.bound(3 * tank.geometry().maximumL());
    belief.settleCredit(1 / belief.concentrationVariance());
  }

  private void add(Belief belief, Entry.Addition addition) {
    double litres = addition.litres();
    if (!addition.metered() && possible(litres)) {
      add(belief, strengthPct(addition.product()), litres, HAND_SHARE * litres);
    }
  }

  /**
   * What was counted in full is anything from nothing to that: half of it, with the standard
   * deviation of a rectangular distribution of that width, a/√3 for the half width a (JCGM
   * 100:2008, 4.3.7). Its 95 % interval, 1.96 of them, holds both ends.
   */
  private void doubt(Belief belief, Entry.UnseenFlow unseen) {
    double half = unseen.litres() / 2;
    if (possible(half)) {
      add(belief, strengthPct(unseen.product()), -half, half / Math.sqrt(3));
    }
  }

  private double strengthPct(Product product) {
    return product == Product.CONCENTRATE
        ? tank.concentrateStrengthPct()
        : tank.water().strengthPct();
  }

  private void add(Belief belief, double strength, double litres, double sd) {
    double before = belief.concentrationPct();
    belief.state.widen(ALKALI, strength, VOLUME, 1, sd * sd);
    belief.state.x[ALKALI] += strength * litres;
    belief.state.x[VOLUME] += litres;
    balance.noteUnmixed(belief, strength * litres, litres, before);
  }

  private void remove(Belief belief, Entry.Removal removal) {
    if (!possible(removal.litres())) {
      return;
    }
    double temperatureC = belief.counter[Belief.TEMPERATURE];
    double litres =
        Math.min(
            removal.litres() / WaterDensity.expansionFrom20C(temperatureC),
            0.99 * belief.volumeL());
    take(belief, litres, HAND_SHARE * litres);
  }

  private static void take(Belief belief, double litres, double sd) {
    double keep = 1 - litres / belief.volumeL();
    for (int i : new int[] {ALKALI, VOLUME, FOREIGN}) {
      belief.state.scale(i, keep);
      belief.state.x[i] *= keep;
    }
    belief.state.widen(ALKALI, belief.concentrationPct(), VOLUME, 1, sd * sd);
  }

  /** Forgets the liquid: volume anew around {@code volumeL}, at the given concentration. */
  static void fill(Belief belief, double pct, double uPct, double volumeL) {
    double variance = 0.01 * volumeL * volumeL;
    belief.state.set(VOLUME, volumeL, 0);
    belief.state.set(ALKALI, pct * volumeL, uPct * uPct * volumeL * volumeL);
    belief.state.widen(ALKALI, pct, VOLUME, 1, variance);
    belief.counter[Belief.FROM_TITRATION] = 0;
    belief.counter[Belief.FROM_PROBE] = 0;
  }

  private void care(Belief belief, Entry.ProbeCare care) {
    if (care.probe().equals("conductivity")) {
      belief.counter[Belief.CARE_H] = CARE_H;
      belief.counter[Belief.GAIN_USUAL] = Double.NaN;
      belief.track.restart();
    } else if (care.probe().equals("ph")) {
      belief.counter[Belief.PH_USUAL] = Double.NaN;
    } else if (care.probe().equals("level")) {
      double offset = priors.levelOffsetShare() * tank.geometry().workingL();
      belief.state.widen(OFFSET, offset * offset);
      belief.counter[Belief.LEVEL_NIS] = 0;
    }
  }

  private boolean possible(double litres) {
    return litres > 0 && litres <= 2 * tank.geometry().maximumL();
  }
}
