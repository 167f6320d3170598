package org.bathwarden.estimate;

import static org.bathwarden.estimate.Belief.ACTIVITY;
import static org.bathwarden.estimate.Belief.ALKALI;
import static org.bathwarden.estimate.Belief.ALPHA;
import static org.bathwarden.estimate.Belief.CONDUCTIVITY_AGE_H;
import static org.bathwarden.estimate.Belief.CONDUCTIVITY_LEAN;
import static org.bathwarden.estimate.Belief.CONDUCTIVITY_NIS;
import static org.bathwarden.estimate.Belief.CONDUCTIVITY_RUN;
import static org.bathwarden.estimate.Belief.CONDUCTIVITY_WHY;
import static org.bathwarden.estimate.Belief.DISPLACEMENT;
import static org.bathwarden.estimate.Belief.FOREIGN;
import static org.bathwarden.estimate.Belief.GAIN;
import static org.bathwarden.estimate.Belief.GAIN_HOURS;
import static org.bathwarden.estimate.Belief.LEVEL_AGE_H;
import static org.bathwarden.estimate.Belief.LEVEL_HOURS;
import static org.bathwarden.estimate.Belief.LEVEL_NIS;
import static org.bathwarden.estimate.Belief.LEVEL_OFF;
import static org.bathwarden.estimate.Belief.LEVEL_RUN;
import static org.bathwarden.estimate.Belief.LEVEL_SPAN_H;
import static org.bathwarden.estimate.Belief.LEVEL_SUM;
import static org.bathwarden.estimate.Belief.LEVEL_WEIGHT;
import static org.bathwarden.estimate.Belief.OFFSET;
import static org.bathwarden.estimate.Belief.RECENT_DOSE;
import static org.bathwarden.estimate.Belief.SLOPE;
import static org.bathwarden.estimate.Belief.TEMPERATURE;
import static org.bathwarden.estimate.Belief.TEMPERATURE_AGE_H;
import static org.bathwarden.estimate.Belief.UNMIXED;
import static org.bathwarden.estimate.Belief.VOLUME;

import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.WaterDensity;

/**
 * Takes level and conductivity into a belief. A reading outside the gate is left out; when a row of
 * them says the same, either the probe or the bath has changed, and the belief is opened to both
 * before the next one is taken.
 */
final class Probes {

  /** 99.9 % quantile of chi-square with one degree of freedom. */
  static final double GATE = 10.8276;

  /** So many readings outside the gate on one side are no spikes. */
  private static final int RUN = 5;

  /** So few of them, and back again, are a spike. */
  private static final int SPIKE = 2;

  /** A level or conductivity that has stood still for so long may be stuck. */
  private static final double STILL_H = 0.5;

  /** A temperature that has stood still for so long may be stuck. */
  private static final double TEMPERATURE_STILL_H = 0.75;

  /** A temperature older than this no longer compensates a conductivity. */
  private static final double TEMPERATURE_STALE_H = 0.25;

  /**
   * Time over which levels are averaged before they are taken in, h. Parts lift the level just
   * until their load counts as gone: taken one by one, levels would make drag-out out of that.
   * While the level is less known than one reading tells, each is taken in at once.
   */
  private static final double LEVEL_SPAN = 0.5;

  /** Weight of a level while parts move. */
  private static final double UNSETTLED_WEIGHT = 1 / 9.0;

  /** Weight of one reading in the running mean of squared innovations. */
  private static final double NIS_WEIGHT = 0.01;

  /** Error of a conductivity for each share of the concentration that is not mixed in yet. */
  private static final double UNMIXED_WEIGHT = 4;

  /** Time over which innovations are smoothed to see a lean, h. */
  private static final Fading LEAN = new Fading(1 / 6.0);

  /** A lean beyond so many standard deviations of one reading is a change. */
  private static final double LEAN_LIMIT = 1.3;

  // How far the belief opens when a row of readings contradicts it (common practice, no source):
  // a pour worth 15 % of target, water or a drain worth 3 % of the volume, a film or a chip on the
  // probe worth 6 %, foam or parts worth 3 % of the volume.
  private static final double POUR_SHARE = 0.15;
  private static final double LIQUID_SHARE = 0.03;
  private static final double GAIN_SHARE = 0.06;
  private static final double GAIN_RISE_SHARE = 0.02;
  private static final double FOAM_SHARE = 0.03;

  private static final double FAR_FROM_SETPOINT_K = 8;

  /** From this innovation of ln κ on, the curve's bend matters. */
  private static final double BENT_LN = 0.1;

  private static final int ROUNDS = 6;

  /** Doubt of what comes back from the pipes when the pump stops, as a share; judgement. */
  private static final double HOLDUP_SHARE = 0.3;

  private final TankSheet tank;
  private final Priors priors;
  private final ConductivityCurve curve;
  private final double[] h;
  private double predicted;

  Probes(EstimatorSheet sheet) {
    tank = sheet.tank();
    priors = sheet.priors();
    curve = sheet.curve();
    h = new double[sheet.states()];
  }

  /** Takes in the level, if there is one. */
  void level(Belief belief, Step step) {
    belief.counter[LEVEL_AGE_H] += step.hours();
    double level = step.levelL();
    if (!(level > 0 && level < 3 * tank.geometry().maximumL())
        || belief.counter[LEVEL_OFF] != 0
        || Watch.levelStuck(belief.counter, STILL_H, tank)) {
      return;
    }
    predictLevel(belief);
    double sd = priors.levelShare() * tank.geometry().workingL();
    double settled = step.levelSettled() ? 1 : UNSETTLED_WEIGHT;
    double back = step.circulating() ? 0 : HOLDUP_SHARE * tank.geometry().holdupL() / sd;
    double weight = settled / (1 + back * back);
    double nis = Math.max(1, belief.counter[LEVEL_NIS]);
    if (!passes(belief, level - predicted, sd * sd * nis / weight, LEVEL_RUN)) {
      return;
    }
    belief.counter[LEVEL_AGE_H] = 0;
    predictLevel(belief);
    belief.counter[LEVEL_SUM] += weight * (level - predicted);
    belief.counter[LEVEL_WEIGHT] += weight;
    belief.counter[LEVEL_SPAN_H] += step.hours();
    boolean known = belief.state.variance(h) < sd * sd;
    if (known && belief.counter[LEVEL_SPAN_H] < LEVEL_SPAN) {
      return;
    }
    double n = belief.counter[LEVEL_WEIGHT];
    take(belief, belief.counter[LEVEL_SUM] / n, sd * sd * nis / n, LEVEL_NIS, n);
    forgetLevels(belief);
  }

  private static void forgetLevels(Belief belief) {
    belief.counter[LEVEL_SUM] = 0;
    belief.counter[LEVEL_WEIGHT] = 0;
    belief.counter[LEVEL_SPAN_H] = 0;
  }

  /** Hot volume of one litre at 20 °C as the level sensor shows it. */
  static double shownPerL(TankSheet tank, double temperatureC) {
    return tank.geometry().levelKind() == LevelKind.SURFACE
        ? WaterDensity.expansionFrom20C(temperatureC)
        : 1;
  }

  /** What the level sensor would show, L. */
  double levelOf(Belief belief) {
    predictLevel(belief);
    return predicted;
  }

  /** ln of what the conductivity probe would show, mS/cm. */
  double lnConductivityOf(Belief belief) {
    predictConductivity(belief);
    return predicted;
  }

  /** What the level would show without its own errors, L. */
  double bareLevel(Belief belief) {
    return shownPerL(tank, belief.counter[TEMPERATURE]) * belief.volumeL()
        + belief.counter[ACTIVITY] * belief.state.x[DISPLACEMENT];
  }

  /** ln κ without the probe's own errors. */
  double lnBath(Belief belief) {
    predictConductivity(belief);
    return predicted - belief.state.x[GAIN] - belief.state.x[GAIN_HOURS];
  }

  /** ln of the temperature factor. */
  double lnTheta(Belief belief) {
    return Math.log(curve.temperatureFactor(belief.counter[TEMPERATURE]));
  }

  /** Change of ln κ for each litre of the given strength, 1/L. */
  double lnPerL(Belief belief, double strengthPct) {
    predictConductivity(belief);
    return h[ALKALI] * strengthPct + h[VOLUME];
  }

  private void predictLevel(Belief belief) {
    clear();
    h[VOLUME] = shownPerL(tank, belief.counter[TEMPERATURE]);
    h[OFFSET] = 1;
    h[LEVEL_HOURS] = 1;
    h[DISPLACEMENT] = belief.counter[ACTIVITY];
    double[] x = belief.state.x;
    predicted =
        h[VOLUME] * x[VOLUME] + x[OFFSET] + x[LEVEL_HOURS] + h[DISPLACEMENT] * x[DISPLACEMENT];
  }

  /** Takes in the conductivity, if there is one that says something. */
  void conductivity(Belief belief, Step step) {
    double[] counter = belief.counter;
    counter[CONDUCTIVITY_AGE_H] += step.hours();
    double kappa = step.conductivityMsCm();
    if (!(kappa > 0 && kappa < 2000)) {
      counter[CONDUCTIVITY_WHY] = 1;
      return;
    }
    if (counter[Belief.CARE_H] > 0) {
      counter[Belief.CARE_H] -= step.hours();
      if (counter[Belief.CARE_H] <= 0) {
        belief.state.widen(GAIN, priors.careShare() * priors.careShare());
        counter[CONDUCTIVITY_NIS] = 0;
        belief.track.restart();
      }
      counter[CONDUCTIVITY_WHY] = 1;
      return;
    }
    if (Watch.conductivityStuck(counter, STILL_H)
        || Watch.temperatureStuck(counter, TEMPERATURE_STILL_H)) {
      counter[CONDUCTIVITY_WHY] = 3;
      return;
    }
    if (counter[TEMPERATURE_AGE_H] > TEMPERATURE_STALE_H
        || Math.abs(counter[TEMPERATURE] - tank.temperatureSetpointC()) > FAR_FROM_SETPOINT_K
        || !covered(belief, kappa)) {
      counter[CONDUCTIVITY_WHY] = 2;
      return;
    }
    double lnKappa = Math.log(kappa);
    // What is not mixed in yet is missing from, or heaped up at, the probe for a while.
    double unmixed = UNMIXED_WEIGHT * counter[UNMIXED] / belief.concentrationPct();
    double r =
        priors.conductivityShare()
                * priors.conductivityShare()
                * Math.max(1, counter[CONDUCTIVITY_NIS])
            + unmixed * unmixed;
    predictConductivity(belief);
    if (!passes(belief, lnKappa - predicted, r, CONDUCTIVITY_RUN)) {
      return;
    }
    watchLean(belief, lnKappa - predicted, Math.sqrt(r), step.hours());
    double before = belief.concentrationVariance();
    take(belief, linearised(belief, lnKappa, r), r, CONDUCTIVITY_NIS, 1);
    belief.credit(Belief.FROM_PROBE, before);
    counter[CONDUCTIVITY_AGE_H] = 0;
    counter[CONDUCTIVITY_WHY] = 0;
  }

  /**
   * Whether the sheet says something about this reading: at what is believed or at what is read,
   * since a belief that went astray must not shut out the reading that would bring it back.
   */
  private boolean covered(Belief belief, double kappa) {
    double temperatureC = belief.counter[TEMPERATURE];
    double gain = Math.exp(belief.state.x[GAIN] + belief.state.x[GAIN_HOURS]);
    double read = kappa / gain / curve.temperatureFactor(temperatureC);
    return curve.covers(belief.concentrationPct(), temperatureC)
        || curve.covers(tank.band().targetPct(), temperatureC)
            && read >= curve.atSetpoint(curve.lowPct())
            && read <= curve.atSetpoint(curve.highPct());
  }

  /**
   * Sees what creeps past the gate: a pour that mixes in over a quarter of an hour leans on the
   * conductivity from one side without any reading being far off.
   */
  private void watchLean(Belief belief, double innovation, double sd, double hours) {
    double[] counter = belief.counter;
    counter[CONDUCTIVITY_LEAN] += (innovation - counter[CONDUCTIVITY_LEAN]) * LEAN.gone(hours);
    if (Math.abs(counter[CONDUCTIVITY_LEAN]) > LEAN_LIMIT * sd) {
      open(belief, Math.signum(counter[CONDUCTIVITY_LEAN]), CONDUCTIVITY_RUN);
      counter[CONDUCTIVITY_LEAN] = 0;
    }
  }

  /**
   * The innovation of a conductivity, with {@code h} where it leads: far from what is believed the
   * curve is bent, and a straight line laid at the belief would stop half way with too little doubt
   * (iterated filter by Gauss and Newton; Bell and Cathey 1993, from memory). It was just
   * predicted; opening the belief has changed its doubt, not its mean.
   */
  private double linearised(Belief belief, double lnKappa, double r) {
    double innovation = lnKappa - predicted;
    if (Math.abs(innovation) < BENT_LN) {
      return innovation;
    }
    double[] x = belief.state.x;
    double[] start = x.clone();
    double[] moved = new double[h.length];
    for (int round = 0; round < ROUNDS; round++) {
      belief.state.covariance(h, moved);
      double s = belief.state.variance(h) + r;
      for (int i = 0; i < h.length; i++) {
        x[i] = start[i] + moved[i] * innovation / s;
      }
      belief.bound(3 * tank.geometry().maximumL());
      predictConductivity(belief);
      innovation = lnKappa - predicted;
      for (int i = 0; i < h.length; i++) {
        innovation -= h[i] * (start[i] - x[i]);
      }
    }
    System.arraycopy(start, 0, x, 0, h.length);
    return innovation;
  }

  private void predictConductivity(Belief belief) {
    clear();
    double[] x = belief.state.x;
    double c = belief.concentrationPct();
    double temperatureC = belief.counter[TEMPERATURE];
    double theta = curve.temperatureFactor(temperatureC);
    double thetaSlope = curve.temperatureSlope(temperatureC);
    double lnR = curve.lnRatio(c);
    double fresh =
        theta * Math.exp(curve.lnAtSetpoint(lnR) + x[SLOPE] * lnR + x[ALPHA] * thetaSlope);
    double foreign = x[FOREIGN] / x[VOLUME] * theta;
    double total = Math.max(fresh + foreign, 0.1 * fresh);
    double slope = (curve.slopeAt(lnR) + x[SLOPE]) * fresh / total;
    h[ALKALI] = slope / x[ALKALI];
    h[VOLUME] = -(slope + foreign / total) / x[VOLUME];
    h[FOREIGN] = theta / x[VOLUME] / total;
    h[GAIN] = 1;
    h[GAIN_HOURS] = 1;
    h[SLOPE] = fresh / total * lnR;
    h[ALPHA] = fresh / total * thetaSlope;
    predicted = x[GAIN] + x[GAIN_HOURS] + Math.log(total);
  }

  /**
   * Takes in what {@code readings} minutes of level and conductivity will tell if they read as
   * expected: the doubt shrinks, the mean stays.
   */
  void foresee(Belief belief, double readings, boolean level, boolean conductivity) {
    if (level) {
      predictLevel(belief);
      double sd = priors.levelShare() * tank.geometry().workingL();
      belief.state.update(h, 0, sd * sd * Math.max(1, belief.counter[LEVEL_NIS]) / readings);
    }
    if (conductivity) {
      predictConductivity(belief);
      double sd = priors.conductivityShare();
      belief.state.update(h, 0, sd * sd * Math.max(1, belief.counter[CONDUCTIVITY_NIS]) / readings);
    }
  }

  private boolean passes(Belief belief, double innovation, double r, int run) {
    double s = belief.state.variance(h) + r;
    double[] counter = belief.counter;
    if (innovation * innovation <= GATE * s) {
      boolean spiked = counter[run] != 0 && Math.abs(counter[run]) <= SPIKE;
      counter[Belief.SPIKES] += run == CONDUCTIVITY_RUN && spiked ? 1 : 0;
      counter[run] = 0;
      return true;
    }
    double side = Math.signum(innovation);
    counter[run] = counter[run] * side > 0 ? counter[run] + side : side;
    if (Math.abs(counter[run]) < RUN) {
      return false;
    }
    counter[run] = 0;
    open(belief, side, run);
    return true;
  }

  /**
   * Opens the belief to whatever may have moved a probe to one side: more conductivity may be an
   * unbooked pour, less may be a dose that the totalizer counted and the bath never got.
   */
  private void open(Belief belief, double side, int run) {
    Gaussian state = belief.state;
    double v = belief.volumeL();
    double c = belief.concentrationPct();
    double liquid = LIQUID_SHARE * v;
    if (run == CONDUCTIVITY_RUN) {
      double gain = side > 0 ? GAIN_RISE_SHARE : GAIN_SHARE;
      state.widen(GAIN, gain * gain);
      double strength = tank.concentrateStrengthPct();
      double pour =
          side > 0
              ? POUR_SHARE * tank.band().targetPct() * v / strength
              : belief.counter[RECENT_DOSE];
      state.widen(ALKALI, strength, VOLUME, 1, pour * pour);
    } else {
      double foam = FOAM_SHARE * tank.geometry().workingL();
      forgetLevels(belief);
      state.widen(LEVEL_HOURS, foam * foam);
      state.widen(ALKALI, c, VOLUME, 1, liquid * liquid);
    }
    state.widen(VOLUME, liquid * liquid);
  }

  private void take(Belief belief, double innovation, double r, int nis, double readings) {
    double s = belief.state.update(h, innovation, r);
    belief.counter[nis] +=
        Math.min(1, NIS_WEIGHT * readings)
            * (Math.min(innovation * innovation / s, GATE) - belief.counter[nis]);
    belief.bound(3 * tank.geometry().maximumL());
  }

  private void clear() {
    java.util.Arrays.fill(h, 0);
  }
}
