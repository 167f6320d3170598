package org.bathwarden.estimate;

import static org.bathwarden.estimate.Belief.ALKALI;
import static org.bathwarden.estimate.Belief.CARBONATION;
import static org.bathwarden.estimate.Belief.CONSUMPTION;
import static org.bathwarden.estimate.Belief.DELIVERED;
import static org.bathwarden.estimate.Belief.DRAG_IN;
import static org.bathwarden.estimate.Belief.EVAPORATION;
import static org.bathwarden.estimate.Belief.FOREIGN;
import static org.bathwarden.estimate.Belief.GAIN;
import static org.bathwarden.estimate.Belief.GAIN_HOURS;
import static org.bathwarden.estimate.Belief.GAIN_RATE;
import static org.bathwarden.estimate.Belief.LEAK;
import static org.bathwarden.estimate.Belief.LEVEL_HOURS;
import static org.bathwarden.estimate.Belief.LOSS;
import static org.bathwarden.estimate.Belief.OFFSET;
import static org.bathwarden.estimate.Belief.STATES;
import static org.bathwarden.estimate.Belief.TITRATION;
import static org.bathwarden.estimate.Belief.VOLUME;
import static org.bathwarden.estimate.Belief.WATER;

import java.util.List;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Method;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.WaterVapour;

/** Carries a belief over one step by the balance of liquid, alkalinity and foreign salts. */
final class Balance {

  /** Air over the tank, for the first guess of evaporation (common practice, no source). */
  private static final double AIR_C = 22;

  private static final double AIR_HUMIDITY = 0.5;

  /** A flow beyond this share of the working volume within one step is no flow. */
  private static final double LARGEST_FLOW_SHARE = 0.5;

  /** A presumed leak below this share of the working volume in an hour is over. */
  private static final double LEAST_LEAK_SHARE = 0.001;

  /** Change of a leak in an hour, as a share. */
  private static final double LEAK_UNSTEADY = 0.2;

  /** After so many times of mixing, e⁻³ is left unmixed, and that counts as none. */
  private static final double MIXED_TIMES = 3;

  private static final Fading RECENT = new Fading(1);

  private static final double MIXING_TURNOVERS = 3;
  private static final double MIXING_WITHOUT_PUMP_H = 0.5;
  private static final double MIXING_SHORTEST_H = 10 / 60.0;

  /** Parts are being washed for so long after a load was counted. */
  private static final double ACTIVE_H = 1 / 3.0;

  /** Time over which the level follows, h. */
  private static final Fading ACTIVITY_FADING = new Fading(0.25);

  private final EstimatorSheet sheet;
  private final TankSheet tank;
  private final Priors priors;
  private final double freshMsCm;
  private final double carbonationPerH;
  private final double[] row;
  private final Fading mixing;

  Balance(EstimatorSheet sheet) {
    this.sheet = sheet;
    tank = sheet.tank();
    priors = sheet.priors();
    row = new double[sheet.states()];
    mixing = new Fading(mixingWaitH() / MIXED_TIMES);
    freshMsCm = sheet.curve().atSetpoint(tank.band().targetPct());
    carbonationPerH =
        tank.chemistry().endPoint() == EndPoint.FREE
            ? priors.carbonation()
                * tank.geometry().surfaceM2()
                * 1000
                * tank.band().targetPct()
                / 24
            : 0;
  }

  /** How long an addition takes to be mixed in, h: three turnovers, never under ten minutes. */
  double mixingWaitH() {
    double flow = tank.geometry().circulationLPerMin();
    return flow > 0
        ? Math.max(MIXING_SHORTEST_H, MIXING_TURNOVERS * tank.geometry().workingL() / flow / 60)
        : MIXING_WITHOUT_PUMP_H;
  }

  /** How fast an addition is mixed in. */
  Fading mixing() {
    return mixing;
  }

  void carry(Belief belief, Step step) {
    double hours = step.hours();
    double[] counter = belief.counter;
    counter[Belief.AT] = step.endMillis();
    counter[Belief.CIRCULATING] = step.circulating() ? 1 : 0;
    counter[Belief.UNEXPLAINED_AGE_H] += hours;
    counter[Belief.MIXING_LEFT_H] = Math.max(0, counter[Belief.MIXING_LEFT_H] - hours);
    noteActivity(counter, step.loads() > 0, hours);
    takeTemperature(counter, step.temperatureC(), hours);
    double evaporation =
        WaterVapour.evaporationKgPerHM2(counter[Belief.TEMPERATURE], AIR_C, AIR_HUMIDITY)
            * tank.geometry().surfaceM2();
    counter[Belief.EVAPORATION_GUESS] = evaporation;
    flow(
        belief,
        evaporation * hours,
        carbonationPerH * hours,
        amount(step.concentrateL()),
        amount(step.waterL()),
        amount(step.loads()));
    leak(belief, hours);
    drift(belief, hours);
    counter[Belief.RECENT_DOSE] =
        counter[Belief.RECENT_DOSE] * RECENT.left(hours) + amount(step.concentrateL());
    counter[Belief.UNMIXED] *= mixing.left(hours);
    belief.settleCredit(1 / belief.concentrationVariance());
  }

  private static void noteActivity(double[] counter, boolean load, double hours) {
    counter[Belief.LOAD_AGE_H] = load ? 0 : counter[Belief.LOAD_AGE_H] + hours;
    double toward = counter[Belief.LOAD_AGE_H] < ACTIVE_H ? 1 : 0;
    counter[Belief.ACTIVITY] += (toward - counter[Belief.ACTIVITY]) * ACTIVITY_FADING.gone(hours);
  }

  private static void takeTemperature(double[] counter, double temperatureC, double hours) {
    if (temperatureC > 0 && temperatureC < 100) {
      counter[Belief.TEMPERATURE] = temperatureC;
      counter[Belief.TEMPERATURE_AGE_H] = 0;
    } else {
      counter[Belief.TEMPERATURE_AGE_H] += hours;
    }
  }

  private double amount(double litres) {
    return litres > 0 && litres < LARGEST_FLOW_SHARE * tank.geometry().workingL() ? litres : 0;
  }

  private void flow(
      Belief belief,
      double vapourL,
      double carbonatedPctL,
      double doseL,
      double waterL,
      double loads) {
    Gaussian state = belief.state;
    double[] x = state.x;
    double c = belief.concentrationPct();
    double v = x[VOLUME];
    double loss = loads > 0 ? Math.exp(x[LOSS]) : 0;
    double out = Math.min(loads * loss, 0.5 * v);
    double eaten = 1 + x[CONSUMPTION];
    double vapour = vapourL * Math.exp(x[EVAPORATION]);
    double water = waterL > 0 ? waterL * Math.exp(x[WATER]) : 0;
    double dose = doseL > 0 ? doseL * tank.concentrateStrengthPct() * Math.exp(x[DELIVERED]) : 0;
    double rinse = water * tank.water().strengthPct();
    double foreign = x[FOREIGN] / v;
    double carbonated = carbonatedPctL * Math.exp(x[CARBONATION]);
    if (out > 0 || dose > 0 || rinse > 0 || carbonated > 0) {
      clearRow();
      row[ALKALI] = 1 - out * eaten / v;
      row[VOLUME] = out * eaten * c / v;
      row[LOSS] = -out * eaten * c;
      row[CONSUMPTION] = -out * c;
      row[DELIVERED] = dose;
      row[WATER] = rinse;
      row[CARBONATION] = -carbonated;
      state.mapRow(ALKALI, row);
    }
    if (out > 0) {
      clearRow();
      row[FOREIGN] = 1 - out / v;
      row[VOLUME] = out * foreign / v;
      row[LOSS] = out * (x[DRAG_IN] * freshMsCm - foreign);
      row[DRAG_IN] = out * freshMsCm;
      state.mapRow(FOREIGN, row);
    }
    clearRow();
    row[VOLUME] = 1;
    row[LOSS] = -out;
    row[EVAPORATION] = -vapour;
    row[WATER] = water;
    state.mapRow(VOLUME, row);
    if (loads > 0) {
      double scatter = priors.loadScatterShare() * loss;
      state.widen(ALKALI, eaten * c, VOLUME, 1, loads * scatter * scatter);
      double wet = priors.loadScatterShare() * tank.dragInLPerLoad();
      state.widen(VOLUME, loads * wet * wet);
    }
    x[ALKALI] += dose + rinse - out * eaten * c - carbonated;
    x[FOREIGN] += out * (x[DRAG_IN] * freshMsCm - foreign);
    double in = Math.min(loads * tank.dragInLPerLoad(), 0.5 * v);
    x[VOLUME] += doseL + water + in - out - vapour;
    belief.bound(3 * tank.geometry().maximumL());
    noteUnmixed(belief, dose, doseL + water, c);
  }

  private void clearRow() {
    java.util.Arrays.fill(row, 0);
  }

  /** Takes out what leaks; nothing unless a leak is presumed. */
  private void leak(Belief belief, double hours) {
    Gaussian state = belief.state;
    double rate = state.x[LEAK];
    if (state.variance(LEAK) == 0) {
      return;
    }
    if (rate < LEAST_LEAK_SHARE * tank.geometry().workingL()) {
      state.set(LEAK, 0, 0);
      return;
    }
    double v = belief.volumeL();
    double out = Math.min(rate * hours, 0.5 * v);
    for (int i : new int[] {ALKALI, FOREIGN}) {
      double held = state.x[i] / v;
      clearRow();
      row[i] = 1 - out / v;
      row[VOLUME] = out * held / v;
      row[LEAK] = -hours * held;
      state.mapRow(i, row);
      state.x[i] -= out * held;
    }
    clearRow();
    row[VOLUME] = 1;
    row[LEAK] = -hours;
    state.mapRow(VOLUME, row);
    state.x[VOLUME] -= out;
    double unsteady = LEAK_UNSTEADY * rate;
    state.widen(LEAK, unsteady * unsteady * hours);
  }

  /** Remembers by how much an addition of {@code alkali} in {@code litres} changes the bath. */
  void noteUnmixed(Belief belief, double alkali, double litres, double concentrationPct) {
    belief.counter[Belief.UNMIXED] +=
        Math.abs(alkali - litres * concentrationPct) / belief.volumeL();
    if (litres > 0) {
      belief.counter[Belief.MIXING_LEFT_H] = mixingWaitH();
    }
  }

  private void drift(Belief belief, double hours) {
    Gaussian state = belief.state;
    double days = hours / 24;
    double working = tank.geometry().workingL();
    widenDaily(state, LOSS, priors.lossDriftShare(), days);
    widenDaily(state, EVAPORATION, priors.evaporationDriftShare(), days);
    widenDaily(state, DELIVERED, priors.deliveredDriftShare(), days);
    widenDaily(state, GAIN, priors.gainDriftShare(), days);
    widenDaily(state, OFFSET, priors.levelOffsetDriftShare() * working, days);
    clearRow();
    row[GAIN] = 1;
    row[GAIN_RATE] = days;
    state.mapRow(GAIN, row);
    state.x[GAIN] += state.x[GAIN_RATE] * days;
    revert(state, GAIN_RATE, priors.gainRateShare(), hours, priors.gainRateHours());
    revert(state, TITRATION, priors.titrationShare(), hours, priors.titrationHours());
    driftOfMethods(belief, hours);
    revert(state, GAIN_HOURS, priors.gainHoursShare(), hours, priors.hours());
    revert(state, LEVEL_HOURS, priors.levelHoursShare() * working, hours, priors.hours());
    double unbooked = priors.unbookedShare() * working;
    state.widen(ALKALI, belief.concentrationPct(), VOLUME, 1, unbooked * unbooked * hours);
  }

  /** The bias of further methods, and what more of the bath's soil they read as product. */
  private void driftOfMethods(Belief belief, double hours) {
    List<Method> methods = tank.chemistry().methods();
    double chargedAt = belief.counter[Belief.CHARGED_AT];
    double ageDays = chargedAt > 0 ? (belief.counter[Belief.AT] - chargedAt) / 86_400_000 : 0;
    for (int i = 0; i < methods.size(); i++) {
      Method method = methods.get(i);
      revert(belief.state, STATES + i, method.biasShare(), hours, priors.titrationHours());
      double perDay = method.soilPctPerDay() / tank.band().targetPct();
      // A growth in proportion to the age: its variance goes with the square of the age.
      belief.state.widen(STATES + i, 2 * perDay * perDay * Math.max(0, ageDays) * hours / 24);
    }
  }

  private static void widenDaily(Gaussian state, int i, double perDay, double days) {
    state.widen(i, perDay * perDay * days);
  }

  private static void revert(Gaussian state, int i, double sd, double hours, double lasting) {
    double keep = Math.exp(-hours / lasting);
    state.scale(i, keep);
    state.x[i] *= keep;
    state.widen(i, sd * sd * (1 - keep * keep));
  }

  EstimatorSheet sheet() {
    return sheet;
  }
}
