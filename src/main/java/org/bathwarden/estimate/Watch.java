package org.bathwarden.estimate;

import static org.bathwarden.estimate.Belief.CONDUCTIVITY_FLICKER;
import static org.bathwarden.estimate.Belief.CONDUCTIVITY_LAST;
import static org.bathwarden.estimate.Belief.CONDUCTIVITY_STILL_H;
import static org.bathwarden.estimate.Belief.LEVEL_DUE;
import static org.bathwarden.estimate.Belief.LEVEL_FLICKER;
import static org.bathwarden.estimate.Belief.LEVEL_LAST;
import static org.bathwarden.estimate.Belief.LEVEL_OFF;
import static org.bathwarden.estimate.Belief.LEVEL_OFF_H;
import static org.bathwarden.estimate.Belief.LEVEL_STILL_H;
import static org.bathwarden.estimate.Belief.TEMPERATURE_FLICKER;
import static org.bathwarden.estimate.Belief.TEMPERATURE_LAST;
import static org.bathwarden.estimate.Belief.TEMPERATURE_STILL_H;

import org.bathwarden.tank.TankSheet;

/** Keeps the track of what the readings do beyond what the balance explains. */
final class Watch {

  /** How many conditions have a count of quiet hours. */
  static final int CONDITIONS = 12;

  /** A reading that stood still for so long is not put into the track. */
  private static final double STILL_H = 0.25;

  /** A level that should have moved by this share of the working volume is due; judgement. */
  private static final double LEAST_DUE_SHARE = 0.006;

  /** The level is believed again when its track is back within this share of what it was off. */
  private static final double BACK_SHARE = 0.35;

  /** A level that is still off after so long is a new level. */
  private static final double LONGEST_OFF_H = 14;

  /** What should have moved the level counts for so long, h; judgement. */
  private static final Fading DUE = new Fading(6);

  /** Over so long it is learned how often a reading changes, h. */
  private static final Fading FLICKER = new Fading(4);

  /** A reading that missed so many changes of its last digit is stuck; judgement. */
  private static final double MISSED_CHANGES = 10;

  private static final Fading SMOOTHING = new Fading(0.2);
  private static final double LOADS_OVER_H = 1;
  private static final Fading SPIKES = new Fading(1);
  private static final double USUAL_H = 60;
  private static final Fading PH_NOW = new Fading(0.5);
  private static final Fading PH_USUAL = new Fading(24);

  /** A bath colder by more has another pH: hydroxide about 0.03 for each K (by pKw). */
  private static final double PH_WITHIN_K = 8;

  /** A gain known so well can be called usual. */
  private static final double KNOWN_U = 0.04;

  private static final Fading RESPONSE = new Fading(8);

  private final TankSheet tank;
  private final Probes probes;
  private final Balance balance;
  private double levelL;
  private double lnBath;
  private double lnTheta;

  Watch(EstimatorSheet sheet, Probes probes, Balance balance) {
    tank = sheet.tank();
    this.probes = probes;
    this.balance = balance;
  }

  /** Remembers what the readings should be before something happens. */
  void before(Belief belief) {
    levelL = probes.bareLevel(belief);
    lnBath = probes.lnBath(belief);
    lnTheta = probes.lnTheta(belief);
  }

  /** Books what they should be after it. */
  void expect(Belief belief) {
    double heated = probes.lnTheta(belief) - lnTheta;
    belief.track.expect(probes.bareLevel(belief) - levelL, heated);
    belief.track.expectMixing(probes.lnBath(belief) - lnBath - heated);
  }

  /** Takes in the readings of a step. */
  void read(Belief belief, Step step) {
    double hours = step.hours();
    double[] counter = belief.counter;
    still(counter, LEVEL_LAST, LEVEL_STILL_H, LEVEL_FLICKER, step.levelL(), hours);
    still(
        counter,
        TEMPERATURE_LAST,
        TEMPERATURE_STILL_H,
        TEMPERATURE_FLICKER,
        step.temperatureC(),
        hours);
    still(
        counter,
        CONDUCTIVITY_LAST,
        CONDUCTIVITY_STILL_H,
        CONDUCTIVITY_FLICKER,
        step.conductivityMsCm(),
        hours);
    ph(counter, step.ph(), hours, tank.temperatureSetpointC());
    counter[LEVEL_DUE] =
        counter[LEVEL_STILL_H] > 0 ? counter[LEVEL_DUE] * DUE.left(hours) + due(belief, step) : 0;
    Track track = belief.track;
    double kappa = step.conductivityMsCm();
    boolean usable = kappa > 0 && kappa < 2000 && !conductivityStuck(counter, STILL_H);
    double level = step.levelL();
    boolean seen =
        level > 0 && level < 3 * tank.geometry().maximumL() && !levelStuck(counter, STILL_H, tank);
    double dose = step.concentrateL();
    track.counted(
        dose == 0
            ? 0
            : dose
                * probes.lnPerL(belief, tank.concentrateStrengthPct())
                * Math.exp(belief.state.x[Belief.DELIVERED]),
        step.waterL());
    track.read(
        seen ? level : Double.NaN,
        usable ? Math.log(kappa) : Double.NaN,
        balance.mixing().gone(hours),
        probes.lnTheta(belief),
        counter[Belief.ACTIVITY]);
    counter[Belief.LEVEL_GONE_H] = level > 0 ? 0 : counter[Belief.LEVEL_GONE_H] + hours;
    counter[Belief.CONDUCTIVITY_GONE_H] =
        kappa > 0 ? 0 : counter[Belief.CONDUCTIVITY_GONE_H] + hours;
    counter[Belief.LOADS_PER_H] +=
        (step.loads() - counter[Belief.LOADS_PER_H] * hours) / LOADS_OVER_H;
    counter[Belief.SPIKES] *= SPIKES.left(hours);
    usualGain(belief, hours);
    respond(belief, hours);
    if (counter[LEVEL_OFF] != 0) {
      counter[LEVEL_OFF_H] += hours;
      believeAgain(belief);
    }
    creep(belief, hours);
  }

  private static void ph(double[] counter, double ph, double hours, double setpointC) {
    still(counter, Belief.PH_LAST, Belief.PH_STILL_H, Belief.PH_FLICKER, ph, hours);
    if (!Double.isFinite(ph)) {
      counter[Belief.PH_GONE_H] += hours;
      return;
    }
    counter[Belief.PH_GONE_H] = 0;
    if (!(Math.abs(counter[Belief.TEMPERATURE] - setpointC) < PH_WITHIN_K)) {
      return;
    }
    if (Double.isNaN(counter[Belief.PH_USUAL])) {
      counter[Belief.PH_NOW] = ph;
      counter[Belief.PH_USUAL] = ph;
    }
    counter[Belief.PH_NOW] += (ph - counter[Belief.PH_NOW]) * PH_NOW.gone(hours);
    counter[Belief.PH_USUAL] += (ph - counter[Belief.PH_USUAL]) * PH_USUAL.gone(hours);
  }

  private static void usualGain(Belief belief, double hours) {
    double[] counter = belief.counter;
    double gain = belief.state.x[Belief.GAIN];
    double usual = counter[Belief.GAIN_USUAL];
    boolean used = counter[Belief.CONDUCTIVITY_AGE_H] == 0 && !(counter[Belief.CARE_H] > 0);
    if (Double.isFinite(usual)) {
      counter[Belief.GAIN_USUAL] = usual + (gain - usual) * hours / USUAL_H;
    } else if (used && belief.state.variance(Belief.GAIN) < KNOWN_U * KNOWN_U) {
      counter[Belief.GAIN_USUAL] = gain;
    }
  }

  /** How the bath answers to what the totalizers count, of late. */
  private static void respond(Belief belief, double hours) {
    double[] counter = belief.counter;
    Track track = belief.track;
    double keep = RESPONSE.left(hours);
    counter[Belief.DOSE_PRODUCT] *= keep;
    counter[Belief.DOSE_SQUARE] *= keep;
    counter[Belief.WATER_PRODUCT] *= keep;
    counter[Belief.WATER_SQUARE] *= keep;
    if (track.minutes() < Track.AFTER + Track.GAPS[1] + Track.BEFORE) {
      return;
    }
    double shared = hours * 60 / Track.GAPS[1];
    double dose = track.doseBetween(1);
    double ln = track.change(Track.LN_KAPPA, 1);
    if (dose > 0 && Double.isFinite(ln)) {
      counter[Belief.DOSE_PRODUCT] += shared * dose * ln;
      counter[Belief.DOSE_SQUARE] += shared * dose * dose;
    }
    double water = track.waterBetween(1);
    double level = track.change(Track.LEVEL, 1);
    boolean steady = Math.abs(track.change(Track.ACTIVITY, 1)) < 0.2;
    if (water > 0 && steady && Double.isFinite(level) && counter[LEVEL_OFF] == 0) {
      counter[Belief.WATER_PRODUCT] += shared * water * level;
      counter[Belief.WATER_SQUARE] += shared * water * water;
    }
  }

  /**
   * How far the level should move in a step: parts in and out, evaporation by the correlation (what
   * is believed of it has learned from a level that stands still), what is counted in.
   */
  private double due(Belief belief, Step step) {
    double[] x = belief.state.x;
    double loads = step.loads();
    double parts =
        loads > 0 ? loads * (Math.exp(x[Belief.LOSS]) + Math.abs(x[Belief.DISPLACEMENT])) : 0;
    double vapour = belief.counter[Belief.EVAPORATION_GUESS] * step.hours();
    return parts + vapour + step.concentrateL() + step.waterL();
  }

  /** Whether the level has stood still for so long though it should have moved. */
  static boolean levelStuck(double[] counter, double hours, TankSheet tank) {
    return stuck(counter, LEVEL_STILL_H, LEVEL_FLICKER, hours)
        && counter[LEVEL_DUE] > LEAST_DUE_SHARE * tank.geometry().workingL();
  }

  /** Whether the temperature has stood still for so long, which a living one does not. */
  static boolean temperatureStuck(double[] counter, double hours) {
    return stuck(counter, TEMPERATURE_STILL_H, TEMPERATURE_FLICKER, hours);
  }

  /** Whether the conductivity has stood still for so long, which a living one does not. */
  static boolean conductivityStuck(double[] counter, double hours) {
    return stuck(counter, CONDUCTIVITY_STILL_H, CONDUCTIVITY_FLICKER, hours);
  }

  /** Whether the pH has stood still for so long, which a living one does not. */
  static boolean phStuck(double[] counter, double hours) {
    return stuck(counter, Belief.PH_STILL_H, Belief.PH_FLICKER, hours);
  }

  private static boolean stuck(double[] counter, int stillH, int flicker, double hours) {
    return counter[stillH] > hours && counter[stillH] * counter[flicker] > MISSED_CHANGES;
  }

  /** Counts for how long a reading has stood still, and learns how often it changes if it lives. */
  private static void still(
      double[] counter, int last, int stillH, int flicker, double value, double hours) {
    if (!Double.isFinite(value) || hours <= 0) {
      return;
    }
    boolean changed = value != counter[last];
    if (changed || counter[stillH] < STILL_H) {
      double perHour = changed ? 1 / hours : 0;
      counter[flicker] += (perHour - counter[flicker]) * FLICKER.gone(hours);
    }
    counter[stillH] = changed ? 0 : counter[stillH] + hours;
    counter[last] = value;
  }

  private static void believeAgain(Belief belief) {
    double[] counter = belief.counter;
    double now = belief.track.mean(Track.LEVEL, 0, Track.AFTER);
    double off = counter[LEVEL_OFF];
    boolean back =
        Math.abs(now - counter[Belief.LEVEL_BASE]) < BACK_SHARE * Math.abs(off)
            && counter[LEVEL_OFF_H] > 0.5;
    if (back || counter[LEVEL_OFF_H] > LONGEST_OFF_H) {
      counter[LEVEL_OFF] = 0;
      belief.track.restart();
    }
  }

  /** Sums up a loss that is too slow to be a step: the largest fall since the track last stood. */
  private void creep(Belief belief, double hours) {
    double[] counter = belief.counter;
    double value = belief.track.at(Track.LEVEL, 0);
    if (belief.track.minutes() < Track.BEFORE || counter[LEVEL_OFF] != 0) {
      counter[Belief.LEVEL_CREEP] = Double.NaN;
      return;
    }
    if (!Double.isFinite(value)) {
      return;
    }
    double allowed = Creep.allowedLPerH(belief, tank);
    double before = counter[Belief.LEVEL_CREEP];
    if (Double.isNaN(before)) {
      double start = belief.track.mean(Track.LEVEL, 0, Track.BEFORE);
      counter[Belief.LEVEL_CREEP] = 0;
      counter[Belief.CREEP_BASE] = start;
      counter[Belief.CREEP_TOP] = 0;
      counter[Belief.CREEP_TOP_AT] = counter[Belief.AT];
      return;
    }
    counter[Belief.CREEP_BASE] -= allowed * hours;
    counter[Belief.LEVEL_CREEP] +=
        (value - counter[Belief.CREEP_BASE] - before) * SMOOTHING.gone(hours);
    if (counter[Belief.LEVEL_CREEP] >= counter[Belief.CREEP_TOP]) {
      counter[Belief.CREEP_TOP] = counter[Belief.LEVEL_CREEP];
      counter[Belief.CREEP_TOP_AT] = counter[Belief.AT];
    }
  }
}
