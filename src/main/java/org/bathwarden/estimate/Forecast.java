package org.bathwarden.estimate;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.tank.TankSheet;

/**
 * How the doubt will grow while the tank is used as usual: the covariance is carried on by the
 * filter's own balance, with loads at their usual rate, doses that make up for what is lost, and
 * the readings that the probes in use will give. Means stay where they are. Titrations are foreseen
 * as one good result of the tank's kit. Pure; one thread.
 */
public final class Forecast {

  /** So many steps to the horizon. */
  static final int STEPS = 36;

  private static final Duration SHORTEST_STEP = Duration.ofMinutes(10);

  /** Each so many steps a titration is tried. */
  private static final int TRIED_EVERY = 3;

  /** Usual is what was washed within a day, or of late if that is more. */
  private static final double[] USUAL_H = {24, 4};

  /** A probe not used for so long tells nothing, h. */
  private static final double PROBE_LOST_H = 0.25;

  private final TankSheet tank;
  private final Balance balance;
  private final Probes probes;
  private final Titrations titrations;
  private final Belief now;
  private final double stepH;
  private final boolean level;
  private final boolean conductivity;
  private final double loadsPerH;
  private final double concentrateLPerH;
  private final double waterLPerH;
  private final List<Belief> tried = new ArrayList<>();
  private final List<Doubt> untitrated;

  /**
   * What will be known at one moment.
   *
   * @param at the moment
   * @param concentrationUPct standard uncertainty of the concentration, %
   * @param volume20L volume at 20 °C, L
   * @param volumeU20L its standard uncertainty, L
   * @param covarianceCV covariance of concentration and volume, %·L
   */
  public record Doubt(
      Instant at,
      double concentrationUPct,
      double volume20L,
      double volumeU20L,
      double covarianceCV) {}

  /**
   * What a titration at one moment would be worth.
   *
   * @param at the moment
   * @param uBeforePct standard uncertainty before it, %
   * @param uAfterPct after it
   */
  public record Worth(Instant at, double uBeforePct, double uAfterPct) {}

  /**
   * Looks ahead from the latest closed step of what is vouched for.
   *
   * @param horizon how far; steps are a 36th of it, but at least ten minutes
   */
  public Forecast(EstimatorSheet sheet, EstimateState state, Duration horizon) {
    tank = sheet.tank();
    balance = new Balance(sheet);
    probes = new Probes(sheet);
    titrations = new Titrations(sheet);
    now = state.now().copy();
    new Recharge(sheet).follow(now);
    long stepMillis = Math.max(SHORTEST_STEP.toMillis(), horizon.toMillis() / STEPS);
    stepH = stepMillis / 3.6e6;
    level = now.counter[Belief.LEVEL_AGE_H] < PROBE_LOST_H && now.counter[Belief.LEVEL_OFF] == 0;
    conductivity = now.counter[Belief.CONDUCTIVITY_AGE_H] < PROBE_LOST_H;
    loadsPerH = usualLoadsPerH(state);
    Belief hourOn = now.copy();
    balance.carry(hourOn, step(hourOn, 0, 0, 1));
    double lostPctL = now.state.x[Belief.ALKALI] - hourOn.state.x[Belief.ALKALI];
    double lostL = now.state.x[Belief.VOLUME] - hourOn.state.x[Belief.VOLUME];
    double delivered = tank.concentrateStrengthPct() * Math.exp(now.state.x[Belief.DELIVERED]);
    concentrateLPerH = delivered > 0 ? Math.max(0, lostPctL / delivered) : 0;
    waterLPerH = Math.max(0, lostL - concentrateLPerH);
    untitrated = run(now.copy(), 0, true);
  }

  /** Loads in an hour that are taken as usual. */
  public double loadsPerH() {
    return loadsPerH;
  }

  /** Concentrate, as ordered, that makes up for what is lost then, L/h. */
  public double concentrateLPerH() {
    return concentrateLPerH;
  }

  /** Concentration that is believed now, %. */
  public double concentrationPct() {
    return now.concentrationPct();
  }

  /** The doubt if nothing is titrated, now and after each step. */
  public List<Doubt> untitrated() {
    return untitrated;
  }

  /** The doubt after a titration now, at the same moments. */
  public List<Doubt> titratedNow() {
    Belief belief = now.copy();
    titrations.foresee(belief);
    return run(belief, 0, false);
  }

  /**
   * The moment from {@code from} to {@code latest} at which a titration narrows the interval most,
   * summed over the time until {@code due}, when one is made in any case; {@code from} if there is
   * none between.
   */
  public Worth worth(Instant from, Instant latest, Instant due) {
    Instant start = from.isAfter(latest) ? latest : from;
    int best = -1;
    double most = 0;
    for (int i = 0; i < tried.size(); i++) {
      Doubt before = untitrated.get(i * TRIED_EVERY);
      if (!before.at().isBefore(start) && !before.at().isAfter(latest)) {
        double gained = gained(i, due);
        if (best < 0 || gained > most) {
          best = i;
          most = gained;
        }
      }
    }
    int at = best >= 0 ? best : nearest(start);
    Belief belief = tried.get(at).copy();
    double before = Math.sqrt(belief.concentrationVariance());
    titrations.foresee(belief);
    return new Worth(
        best >= 0 ? untitrated.get(at * TRIED_EVERY).at() : start,
        before,
        Math.sqrt(belief.concentrationVariance()));
  }

  private int nearest(Instant at) {
    int i = 0;
    while (i + 1 < tried.size() && !untitrated.get((i + 1) * TRIED_EVERY).at().isAfter(at)) {
      i++;
    }
    return i;
  }

  /** Narrowing by a titration at trial {@code i}, summed over the steps until {@code due}. */
  private double gained(int i, Instant due) {
    Belief belief = tried.get(i).copy();
    titrations.foresee(belief);
    int first = i * TRIED_EVERY;
    double sum = 0;
    List<Doubt> after = run(belief, first, false);
    for (int k = first; k <= STEPS && !untitrated.get(k).at().isAfter(due); k++) {
      sum += untitrated.get(k).concentrationUPct() - after.get(k - first).concentrationUPct();
    }
    return sum;
  }

  private List<Doubt> run(Belief belief, int first, boolean remember) {
    List<Doubt> doubts = new ArrayList<>();
    doubts.add(doubt(belief));
    for (int i = first; i < STEPS; i++) {
      if (remember && i % TRIED_EVERY == 0) {
        tried.add(belief.copy());
      }
      balance.carry(belief, step(belief, concentrateLPerH * stepH, waterLPerH * stepH, stepH));
      probes.foresee(belief, stepH * 60, level, conductivity);
      doubts.add(doubt(belief));
    }
    return doubts;
  }

  private Step step(Belief belief, double concentrateL, double waterL, double hours) {
    long from = belief.atMillis();
    return new Step(
        from,
        from + Math.round(hours * 3.6e6),
        Double.NaN,
        belief.counter[Belief.TEMPERATURE],
        Double.NaN,
        concentrateL,
        waterL,
        loadsPerH * hours,
        true,
        true);
  }

  private static Doubt doubt(Belief belief) {
    double[] p = belief.state.p;
    double[] gradient = belief.concentrationGradient();
    double covariance =
        gradient[Belief.ALKALI] * p[Belief.ALKALI * belief.state.n + Belief.VOLUME]
            + gradient[Belief.VOLUME] * belief.state.variance(Belief.VOLUME);
    return new Doubt(
        Instant.ofEpochMilli(belief.atMillis()),
        Math.sqrt(belief.concentrationVariance()),
        belief.volumeL(),
        Math.sqrt(Math.max(0, belief.state.variance(Belief.VOLUME))),
        covariance);
  }

  private static double usualLoadsPerH(EstimateState state) {
    double most = 0;
    for (double window : USUAL_H) {
      long from = state.now().atMillis() - Math.round(window * 3.6e6);
      double loads = 0;
      long first = state.now().atMillis();
      for (EstimateState.Block block : state.blocks()) {
        for (Step step : block.steps()) {
          if (step.startMillis() >= from) {
            first = Math.min(first, step.startMillis());
            loads += step.loads() > 0 ? step.loads() : 0;
          }
        }
      }
      double hours = Math.max(1, (state.now().atMillis() - first) / 3.6e6);
      most = Math.max(most, loads / hours);
    }
    return most;
  }
}
