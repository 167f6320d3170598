package org.bathwarden.estimate;

import static org.bathwarden.estimate.Belief.ALPHA;
import static org.bathwarden.estimate.Belief.CARBONATION;
import static org.bathwarden.estimate.Belief.CONSUMPTION;
import static org.bathwarden.estimate.Belief.DELIVERED;
import static org.bathwarden.estimate.Belief.DRAG_IN;
import static org.bathwarden.estimate.Belief.FOREIGN;
import static org.bathwarden.estimate.Belief.GAIN;
import static org.bathwarden.estimate.Belief.GAIN_HOURS;
import static org.bathwarden.estimate.Belief.GAIN_RATE;
import static org.bathwarden.estimate.Belief.LEAK;
import static org.bathwarden.estimate.Belief.LOSS;
import static org.bathwarden.estimate.Belief.SLOPE;
import static org.bathwarden.estimate.Belief.STATES;

import java.util.List;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Method;
import org.bathwarden.tank.TankSheet;

/**
 * What one bath teaches about the next. What belongs to the tank stays: scales of pump and meters,
 * evaporation, errors of the level, the kit's bias, what parts displace. What parts and product
 * make of it stays with some more doubt: loss per load, soil, carbonation, shape of the sheet's
 * curve. What belonged to the liquid is forgotten: concentration, volume, foreign salts, probe
 * errors of hours, where the probe's gain was going. All widenings are judgement.
 */
final class Recharge {

  /** Share of the foreign salts that may stay in the tank over a change-out. */
  private static final double HEEL_SHARE = 0.05;

  /** Doubt of a charge that comes without one, as a share. */
  private static final double CHARGE_SHARE = 0.05;

  /** Doubt that the next bath adds, as a share of what was doubted before anything was known. */
  private static final double NEXT_BATH_SHARE = 0.4;

  /** The same of the curve's shape: the product is the same, its lot is not. */
  private static final double NEXT_LOT_SHARE = 0.25;

  /** Doubt of the probe's gain that a change-out adds: the probe was in air. */
  private static final double GAIN_SHARE = 0.02;

  private final TankSheet tank;
  private final Priors priors;
  private final ConductivityCurve curve;
  private final double product;
  private final double methods;

  Recharge(EstimatorSheet sheet) {
    tank = sheet.tank();
    priors = sheet.priors();
    curve = sheet.curve();
    product = fingerprint(tank);
    methods = names(tank.chemistry().methods());
  }

  /** What tells one row of methods from another: the hash code of their names. */
  private static double names(List<Method> methods) {
    int hash = 1;
    for (Method method : methods) {
      hash = 31 * hash + method.name().hashCode();
    }
    return hash;
  }

  /** What tells one product's sheet from another's, exact in a double. */
  private static double fingerprint(TankSheet tank) {
    int hash = tank.chemistry().product().hashCode();
    hash = 31 * hash + Double.hashCode(tank.band().targetPct());
    hash = 31 * hash + Double.hashCode(tank.temperatureSetpointC());
    for (ConductivityGrid.Point point : tank.chemistry().grid().points()) {
      hash = 31 * hash + Double.hashCode(point.concentrationPct());
      hash = 31 * hash + Double.hashCode(point.temperatureC());
      hash = 31 * hash + Double.hashCode(point.conductivityMsCm());
    }
    return hash;
  }

  /** Whether a titration's sample was drawn from the bath that is in the tank now. */
  static boolean ofThisBath(Belief belief, TitrationVerdict verdict) {
    return verdict.sampleAt().toEpochMilli() >= belief.counter[Belief.CHARGED_AT];
  }

  /** Marks a belief that begins with this sheet. */
  void begin(Belief belief) {
    belief.counter[Belief.PRODUCT] = product;
    beginMethods(belief);
  }

  private void beginMethods(Belief belief) {
    belief.counter[Belief.METHODS] = methods;
    for (int i = 0; i < tank.chemistry().methods().size(); i++) {
      beginMethod(belief.state, i);
    }
  }

  private void beginMethod(Gaussian state, int i) {
    double share = tank.chemistry().methods().get(i).biasShare();
    state.set(STATES + i, 0, share * share);
  }

  /** Opens a belief that was learned with another product's sheet. */
  void follow(Belief belief) {
    if (belief.counter[Belief.METHODS] != methods) {
      belief.resize(STATES + tank.chemistry().methods().size());
      beginMethods(belief);
    }
    if (belief.counter[Belief.PRODUCT] == product) {
      return;
    }
    belief.counter[Belief.PRODUCT] = product;
    Gaussian state = belief.state;
    state.set(SLOPE, 0, curve.slopeU() * curve.slopeU());
    state.set(ALPHA, 0, curve.alphaU() * curve.alphaU());
    double gain = Math.hypot(priors.gainShare(), curve.levelU());
    state.widen(GAIN, gain * gain);
    widen(state, CONSUMPTION, priors.consumptionU(), 1);
    widen(state, DRAG_IN, priors.dragInU(), 1);
    widen(state, DELIVERED, priors.deliveredShare(), 1);
    widen(state, LOSS, priors.lossShare(), 1);
    belief.counter[Belief.CONDUCTIVITY_NIS] = 0;
    belief.counter[Belief.GAIN_USUAL] = Double.NaN;
    belief.counter[Belief.PH_USUAL] = Double.NaN;
    belief.track.restart();
  }

  /** A fresh bath was charged; one whose concentration cannot be changes nothing. */
  void charge(Belief belief, Entry.Charge charge) {
    double pct = charge.concentrationPct();
    if (!(pct > 0 && pct <= 100)) {
      return;
    }
    double u = charge.uPct() > 0 && charge.uPct() < 100 ? charge.uPct() : CHARGE_SHARE * pct;
    Bookings.fill(belief, pct, u, tank.geometry().workingL());
    forgetLiquid(belief);
    Gaussian state = belief.state;
    widen(state, LOSS, priors.lossShare(), NEXT_BATH_SHARE);
    widen(state, CONSUMPTION, priors.consumptionU(), NEXT_BATH_SHARE);
    widen(state, DRAG_IN, priors.dragInU(), NEXT_BATH_SHARE);
    widen(state, CARBONATION, priors.carbonationShare(), NEXT_BATH_SHARE);
    widen(state, SLOPE, curve.slopeU(), NEXT_LOT_SHARE);
    widen(state, ALPHA, curve.alphaU(), NEXT_LOT_SHARE);
    keepGain(state);
    for (int i = 0; i < tank.chemistry().methods().size(); i++) {
      if (tank.chemistry().methods().get(i).soilPctPerDay() > 0) {
        beginMethod(state, i);
      }
    }
    belief.counter[Belief.CHARGED_AT] = charge.stamp().happenedAt().toEpochMilli();
  }

  private void forgetLiquid(Belief belief) {
    Gaussian state = belief.state;
    double heel = HEEL_SHARE * curve.atSetpoint(tank.band().targetPct()) * belief.volumeL();
    state.set(FOREIGN, heel, heel * heel);
    state.set(GAIN_HOURS, 0, priors.gainHoursShare() * priors.gainHoursShare());
    state.set(GAIN_RATE, 0, priors.gainRateShare() * priors.gainRateShare());
    state.set(LEAK, 0, 0);
    belief.counter[Belief.UNMIXED] = 0;
    belief.counter[Belief.MIXING_LEFT_H] = 0;
    belief.counter[Belief.LEVEL_OFF] = 0;
    belief.counter[Belief.GAIN_USUAL] = Double.NaN;
    belief.track.restart();
  }

  /**
   * A gain that is too low may be a film or a cell, which stay, or carbonate and oil, which went
   * with the liquid: the truth lies between. One that is too high stays.
   */
  private static void keepGain(Gaussian state) {
    double gone = Math.max(0, -state.x[GAIN]) / 2;
    state.widen(GAIN, GAIN_SHARE * GAIN_SHARE + gone * gone);
    state.x[GAIN] += gone;
  }

  private static void widen(Gaussian state, int i, double prior, double share) {
    state.widen(i, share * share * prior * prior);
  }
}
