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

  /** Share of the foreign salts that may stay in the tank over a change-out. */
  private static final double HEEL_SHARE = 0.05;

  private final TankSheet tank;
  private final Priors priors;
  private final Balance balance;
  private final double freshMsCm;

  Bookings(EstimatorSheet sheet, Balance balance) {
    tank = sheet.tank();
    priors = sheet.priors();
    this.balance = balance;
    freshMsCm = sheet.curve().atSetpoint(tank.band().targetPct());
  }

  /** Whether this entry is one that changes the belief besides titrations. */
  static boolean known(Entry entry) {
    return entry instanceof Entry.Addition
        || entry instanceof Entry.Removal
        || entry instanceof Entry.Charge
        || entry instanceof Entry.ProbeCare;
  }

  void book(Belief belief, Entry entry) {
    if (entry instanceof Entry.Addition addition) {
      add(belief, addition);
    } else if (entry instanceof Entry.Removal removal) {
      remove(belief, removal);
    } else if (entry instanceof Entry.Charge charge) {
      charge(belief, charge);
    } else if (entry instanceof Entry.ProbeCare care) {
      care(belief, care);
    }
    belief.bound(3 * tank.geometry().maximumL());
    belief.settleCredit(1 / belief.concentrationVariance());
  }

  private void add(Belief belief, Entry.Addition addition) {
    double litres = addition.litres();
    if (addition.metered() || !possible(litres)) {
      return;
    }
    double strength =
        addition.product() == Product.CONCENTRATE
            ? tank.concentrateStrengthPct()
            : tank.water().strengthPct();
    double before = belief.concentrationPct();
    double sd = HAND_SHARE * litres;
    belief.state.x[ALKALI] += strength * litres;
    belief.state.x[VOLUME] += litres;
    belief.state.widen(ALKALI, strength, VOLUME, 1, sd * sd);
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
    double keep = 1 - litres / belief.volumeL();
    for (int i : new int[] {ALKALI, VOLUME, FOREIGN}) {
      belief.state.x[i] *= keep;
      belief.state.scale(i, keep);
    }
    double sd = HAND_SHARE * litres;
    belief.state.widen(ALKALI, belief.concentrationPct(), VOLUME, 1, sd * sd);
  }

  private void charge(Belief belief, Entry.Charge charge) {
    double pct = charge.concentrationPct();
    if (!(pct > 0 && pct <= 100)) {
      return;
    }
    double u = charge.uPct() > 0 && charge.uPct() < 100 ? charge.uPct() : 0.05 * pct;
    fill(belief, pct, u, tank.geometry().workingL());
    double heel = HEEL_SHARE * freshMsCm * belief.volumeL();
    belief.state.set(FOREIGN, heel, heel * heel);
    belief.counter[Belief.UNMIXED] = 0;
    belief.counter[Belief.MIXING_LEFT_H] = 0;
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
    double share = priors.careShare();
    if (care.probe().equals("conductivity")) {
      belief.state.widen(GAIN, share * share);
      belief.counter[Belief.CONDUCTIVITY_NIS] = 0;
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
