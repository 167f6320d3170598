package org.bathwarden.simulator.physics;

import java.util.random.RandomGenerator;

/**
 * The four transmitters of a tank, refreshed once a second: lag, scale, offset, noise with a
 * correlated part, and their faults. One thread.
 */
final class Instruments {

  /** What there is to see. */
  record Seen(double levelL, double temperatureC, double conductivityMsCm, double ph) {}

  private static final double HOUR_S = 3600.0;
  private static final double DAY_S = 86_400.0;

  private final RandomGenerator random;
  private final double noise;
  private final double workingL;
  private final double levelScale;
  private final double levelOffsetL;
  private final double temperatureOffsetC;
  private final double cellScale;
  private final Wander waves;
  private final Wander cellSlow;
  private final Wander cellFast;
  private final Wander electrode;
  private double lagLevelL;
  private double lagTemperatureC;
  private double lagConductivity;
  private double lagPh;
  private double foamL;
  private double filmed;
  private double conductivityDrift;
  private double phDrift;
  private double secondOfMinute;
  private Seen shown;
  private int declaredBad;

  /** Instruments that have long been reading {@code first}. */
  Instruments(Seen first, double workingL, Unknowns unknowns, RandomGenerator random) {
    this.random = random;
    this.noise = unknowns.noise();
    this.workingL = workingL;
    this.levelScale = Unknowns.factor(unknowns.levelPct(), random);
    this.levelOffsetL = workingL * (Unknowns.factor(unknowns.levelPct(), random) - 1.0);
    this.temperatureOffsetC = 0.25 * noise * random.nextGaussian();
    this.cellScale = Unknowns.factor(unknowns.conductivityPct(), random);
    this.waves = new Wander(0.0012 * workingL * noise, 8.0, random);
    this.cellSlow = new Wander(0.006 * noise, 2 * DAY_S, random);
    this.cellFast = new Wander(0.0025 * noise, 300.0, random);
    this.electrode = new Wander(0.04 * noise, 2 * DAY_S, random);
    this.lagLevelL = first.levelL();
    this.lagTemperatureC = first.temperatureC();
    this.lagConductivity = first.conductivityMsCm();
    this.lagPh = first.ph();
    this.shown = first;
  }

  /** Reads {@code now}, {@code dtS} after the last reading. */
  void step(double dtS, Seen now, Faults faults) {
    age(dtS, faults);
    lagLevelL = towards(now.levelL(), lagLevelL, dtS, 4.0);
    lagTemperatureC = towards(now.temperatureC(), lagTemperatureC, dtS, 20.0);
    lagConductivity = towards(now.conductivityMsCm(), lagConductivity, dtS, 12.0);
    lagPh = towards(now.ph(), lagPh, dtS, 15.0);
    declaredBad =
        (faults.on(FaultKind.LEVEL_NAN) ? 1 : 0) | (faults.on(FaultKind.CONDUCTIVITY_NAN) ? 4 : 0);
    shown =
        new Seen(
            faults.on(FaultKind.LEVEL_STUCK) ? shown.levelL() : level(dtS),
            faults.on(FaultKind.TEMPERATURE_STUCK) ? shown.temperatureC() : temperature(),
            faults.on(FaultKind.CONDUCTIVITY_STUCK)
                ? shown.conductivityMsCm()
                : conductivity(dtS, faults),
            faults.on(FaultKind.PH_STUCK) ? shown.ph() : ph(dtS));
  }

  /** Cleans the conductivity probe and calibrates both probes. */
  void clean() {
    filmed = 0.0;
    conductivityDrift = 0.0;
    phDrift = 0.0;
  }

  /** What the terminals carry; NaN where a transmitter declares itself bad. */
  Seen shown() {
    return new Seen(
        (declaredBad & 1) != 0 ? Double.NaN : shown.levelL(),
        shown.temperatureC(),
        (declaredBad & 4) != 0 ? Double.NaN : shown.conductivityMsCm(),
        shown.ph());
  }

  /** Bits 0 to 3: level, temperature, conductivity, pH declare themselves bad. */
  int declaredBad() {
    return declaredBad;
  }

  private void age(double dtS, Faults faults) {
    double hours = dtS / HOUR_S;
    foamL = towards(faults.size(FaultKind.FOAM, 0.0), foamL, dtS, 60.0);
    if (faults.on(FaultKind.CONDUCTIVITY_FOULING)) {
      filmed = towards(faults.size(FaultKind.CONDUCTIVITY_FOULING, 0.0), filmed, dtS, HOUR_S);
    }
    conductivityDrift += hours * faults.size(FaultKind.CONDUCTIVITY_DRIFT, 0.0) / 100.0;
    phDrift += hours * faults.size(FaultKind.PH_DRIFT, 0.0);
    secondOfMinute = (secondOfMinute + dtS) % 60.0;
  }

  private double level(double dtS) {
    double rough = waves.step(dtS) + 0.0004 * workingL * noise * random.nextGaussian();
    return Math.max(0.0, levelScale * lagLevelL + levelOffsetL + foamL + rough);
  }

  private double temperature() {
    return lagTemperatureC + temperatureOffsetC + 0.05 * noise * random.nextGaussian();
  }

  private double conductivity(double dtS, Faults faults) {
    double wander = 1.0 + cellSlow.step(dtS) + cellFast.step(dtS);
    double rough = 1.0 + 0.0008 * noise * random.nextGaussian();
    if (faults.on(FaultKind.CONDUCTIVITY_DROPOUT) && secondOfMinute < 5.0) {
      return 0.0;
    }
    return lagConductivity
        * cellScale
        * (1.0 - filmed)
        * (1.0 + conductivityDrift)
        * wander
        * rough;
  }

  private double ph(double dtS) {
    // A glass electrode reads low in strong sodium alkali: about 0.1 at pH 13, common practice.
    double sodiumError = noise == 0.0 ? 0.0 : 0.1 * Math.max(0.0, lagPh - 12.0);
    return lagPh
        - sodiumError
        + electrode.step(dtS)
        + phDrift
        + 0.008 * noise * random.nextGaussian();
  }

  private static double towards(double goal, double from, double dtS, double lagS) {
    return goal + (from - goal) * Math.exp(-dtS / lagS);
  }
}
