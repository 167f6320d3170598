package org.bathwarden.estimate;

import java.util.Optional;
import org.bathwarden.estimate.Presumed.Kind;
import org.bathwarden.tank.TankSheet;

/**
 * Recognises what happens within minutes and was not told: level and conductivity move together in
 * a way that tells concentrate from water, a dump, foam and a probe that changed. The explanation
 * that fits best, each weighed by how common it is, is taken.
 */
final class Sudden {

  /** Ordinary standard deviations beyond which a change is an alert; judgement. */
  private static final double ALERT = 5;

  /** Changes that no alert is raised for: of ln κ, and of the working volume; judgement. */
  private static final double LEAST_LN = 0.02;

  private static final double LEAST_LEVEL_SHARE = 0.012;

  /** An alert is judged when the change has had so many minutes to show itself. */
  private static final int RIPE_MIN = 10;

  /** A change may have begun so long before it raised an alert, min; judgement. */
  private static final int LEAD_MIN = 5;

  /** A fall beyond this share of the working volume is no matter of parts; judgement. */
  private static final double LARGE_SHARE = 0.03;

  /** After a decision, nothing is decided for so long. */
  private static final long PAUSE_MILLIS = 30 * 60_000L;

  /** How far the conductivity of a pour may differ from the curve's, as a share. */
  private static final double MODEL_LN_SHARE = 0.3;

  private static final double MODEL_LEVEL_SHARE = 0.05;

  /** Doubt of the temperature's effect while it changes, as a share of it; judgement. */
  private static final double THETA_SHARE = 0.25;

  /** Share of an addition of water that may still lie on top; judgement. */
  private static final double UNMIXED_SHARE = 0.4;

  /** Doubt of what parts displace, of the working volume; judgement. */
  private static final double DISPLACED_SHARE = 0.008;

  /** A pour mixes in over minutes; a step of which two minutes hold so much is the probe's. */
  private static final double SHARP_SHARE = 0.8;

  /** Away from the setpoint by so much, or heating, the conductivity says nothing sudden. */
  private static final double NEAR_SETPOINT_K = 8;

  private final TankSheet tank;
  private final Probes probes;
  private final double mixingWaitH;

  Sudden(EstimatorSheet sheet, Probes probes, double mixingWaitH) {
    tank = sheet.tank();
    this.probes = probes;
    this.mixingWaitH = mixingWaitH;
  }

  /** Raises or clears the alert. */
  void look(Belief belief) {
    boolean alert = false;
    for (int g = 0; g < Track.GAPS.length; g++) {
      alert |= Math.max(alarmLn(belief, g), alarmLevel(belief, g)) > 1;
    }
    belief.counter[Belief.ALERT_MIN] = alert ? belief.counter[Belief.ALERT_MIN] + 1 : 0;
    if (!alert) {
      belief.track.learn();
    }
  }

  /** Ordinary scatter of ln κ, and what a changing temperature and water not mixed in add. */
  private double uLn(Belief belief, int g) {
    double heated = belief.track.change(Track.LN_THETA, g);
    double temperature = THETA_SHARE * (Double.isFinite(heated) ? heated : 1);
    double litres = belief.track.waterBetween(g);
    double water =
        litres == 0
            ? 0
            : UNMIXED_SHARE * litres * probes.lnPerL(belief, tank.water().strengthPct());
    double scatter = belief.track.scatter(Track.LN_KAPPA, g);
    return Math.sqrt(scatter * scatter + temperature * temperature + water * water);
  }

  /** Ordinary scatter of the level, and what parts displace that come or go. */
  private double uLevel(Belief belief, int g) {
    double parts = belief.track.change(Track.ACTIVITY, g);
    double displaced = DISPLACED_SHARE * tank.geometry().workingL();
    double scatter = belief.track.scatter(Track.LEVEL, g);
    double moved = displaced * (Double.isFinite(parts) ? parts : 1);
    return Math.sqrt(scatter * scatter + moved * moved);
  }

  private double alarmLn(Belief belief, int g) {
    double off = belief.counter[Belief.TEMPERATURE] - tank.temperatureSetpointC();
    double change = Math.abs(belief.track.change(Track.LN_KAPPA, g));
    double limit = Math.max(ALERT * uLn(belief, g), LEAST_LN);
    return Math.abs(off) < NEAR_SETPOINT_K && Double.isFinite(change) ? change / limit : 0;
  }

  private double alarmLevel(Belief belief, int g) {
    double change = Math.abs(belief.track.change(Track.LEVEL, g));
    double least = LEAST_LEVEL_SHARE * tank.geometry().workingL();
    double limit = Math.max(ALERT * uLevel(belief, g), least);
    return belief.counter[Belief.LEVEL_OFF] == 0 && Double.isFinite(change) ? change / limit : 0;
  }

  /**
   * What must have happened, once an alert is ripe.
   *
   * @param lastDecidedMillis when the last decision was taken
   */
  Optional<Presumed> decide(Belief belief, long lastDecidedMillis) {
    boolean pause = belief.atMillis() < lastDecidedMillis + PAUSE_MILLIS;
    if (pause || belief.counter[Belief.ALERT_MIN] < RIPE_MIN) {
      return Optional.empty();
    }
    int g = spanning(belief);
    double ln = belief.track.change(Track.LN_KAPPA, g);
    double level = belief.track.change(Track.LEVEL, g);
    boolean levelOff = belief.counter[Belief.LEVEL_OFF] != 0;
    if (!Double.isFinite(ln) && (levelOff || !Double.isFinite(level))) {
      return Optional.empty();
    }
    double uLn = Double.isFinite(ln) ? Math.hypot(uLn(belief, g), MODEL_LN_SHARE * ln) : 1e3;
    double uLevel =
        Double.isFinite(level) && !levelOff
            ? Math.hypot(uLevel(belief, g), MODEL_LEVEL_SHARE * level)
            : 1e3 * tank.geometry().workingL();
    double sharpest = belief.track.sharpest(Track.LN_KAPPA, Track.GAPS[g] + Track.AFTER);
    boolean sharp = sharpest / ln > SHARP_SHARE;
    Fit fit = new Fit(finite(ln), uLn, levelOff ? 0 : finite(level), uLevel);
    Kind best = Kind.LEVEL_OFF;
    double least = Double.POSITIVE_INFINITY;
    for (Kind kind : Kind.values()) {
      if (possible(belief, kind, fit, g)) {
        double cost = fit.cost(this, belief, kind) + rarity(kind, fit, sharp);
        if (cost < least) {
          least = cost;
          best = kind;
        }
      }
    }
    boolean small = Math.abs(fit.level()) < LARGE_SHARE * tank.geometry().workingL();
    boolean waits = best == Kind.LEVEL_OFF || best == Kind.NO_DOSE || (best == Kind.DUMP && small);
    if (waits && belief.counter[Belief.ALERT_MIN] < RIPE_MIN + 60 * mixingWaitH) {
      return Optional.empty();
    }
    double evidence = Math.max(alarmLn(belief, g), alarmLevel(belief, g)) * ALERT;
    long at = belief.atMillis() - 60_000L * onset(belief, g);
    return Optional.of(
        new Presumed(
            best,
            at,
            belief.atMillis(),
            fit.size(this, belief, best),
            fit.u(this, belief, best),
            evidence));
  }

  /** The shortest gap that spans the whole alert and what led up to it. */
  private static int spanning(Belief belief) {
    int g = 0;
    while (g < Track.GAPS.length - 1
        && Track.GAPS[g] < belief.counter[Belief.ALERT_MIN] + LEAD_MIN) {
      g++;
    }
    return g;
  }

  /** Minutes ago at which the clearer reading first left where it was. */
  private int onset(Belief belief, int g) {
    int ring = alarmLn(belief, g) >= alarmLevel(belief, g) ? Track.LN_KAPPA : Track.LEVEL;
    double change = belief.track.change(ring, g);
    double base = belief.track.mean(ring, Track.AFTER + Track.GAPS[g], Track.BEFORE);
    for (int ago = Track.AFTER + Track.GAPS[g]; ago > 1; ago--) {
      double now = belief.track.mean(ring, ago - 2, 3);
      if ((now - base) / change > 0.3) {
        return ago + 1;
      }
    }
    return 1;
  }

  private static double finite(double value) {
    return Double.isFinite(value) ? value : 0;
  }

  private boolean possible(Belief belief, Kind kind, Fit fit, int g) {
    double size =
        kind == Kind.LEAK || kind == Kind.METER || kind == Kind.METER_BACK
            ? 0
            : fit.size(this, belief, kind);
    return switch (kind) {
      case LEAK, METER, METER_BACK -> false;
      case LEVEL_OFF -> true;
      case PROBE_STEP -> fit.ln() != 0;
      case CONCENTRATE, WATER, DUMP -> size > 0;
      case NO_DOSE ->
          size > 0 && -perUnitLn(belief, kind) * size < 1.5 * belief.track.doseBetween(g);
    };
  }

  /** Twice the negative logarithm of how common each is, roughly (common practice, no source). */
  private static double rarity(Kind kind, Fit fit, boolean sharp) {
    return switch (kind) {
      case CONCENTRATE -> sharp ? 6 : 0;
      case WATER, NO_DOSE, METER, METER_BACK -> 0;
      case DUMP -> 3;
      case LEAK -> 0;
      case LEVEL_OFF -> fit.level() > 0 ? 2 : 4;
      case PROBE_STEP -> fit.ln() > 0 && !sharp ? 6 : 3;
    };
  }

  /** Change of ln κ for one unit of {@code kind}'s size. */
  private double perUnitLn(Belief belief, Kind kind) {
    return switch (kind) {
      case CONCENTRATE -> probes.lnPerL(belief, tank.concentrateStrengthPct());
      case WATER -> probes.lnPerL(belief, tank.water().strengthPct());
      case NO_DOSE -> -probes.lnPerL(belief, tank.concentrateStrengthPct());
      case PROBE_STEP -> 1;
      case DUMP, LEVEL_OFF, LEAK, METER, METER_BACK -> 0;
    };
  }

  /** Change of the level for one unit of {@code kind}'s size. */
  private double perUnitLevel(Belief belief, Kind kind) {
    double shown = Probes.shownPerL(tank, belief.counter[Belief.TEMPERATURE]);
    return switch (kind) {
      case CONCENTRATE, WATER -> shown;
      case DUMP, NO_DOSE -> -shown;
      case LEVEL_OFF -> 1;
      case PROBE_STEP, LEAK, METER, METER_BACK -> 0;
    };
  }

  /** A change seen in both readings, with standard deviations. */
  private record Fit(double ln, double uLn, double level, double uLevel) {

    private double information(double a, double b) {
      return a * a / (uLn * uLn) + b * b / (uLevel * uLevel);
    }

    double size(Sudden of, Belief belief, Kind kind) {
      double a = of.perUnitLn(belief, kind);
      double b = of.perUnitLevel(belief, kind);
      return (a * ln / (uLn * uLn) + b * level / (uLevel * uLevel)) / information(a, b);
    }

    double u(Sudden of, Belief belief, Kind kind) {
      double size = size(of, belief, kind);
      double u =
          1 / Math.sqrt(information(of.perUnitLn(belief, kind), of.perUnitLevel(belief, kind)));
      return Math.hypot(u, 0.1 * size);
    }

    /** Squared distance of what is seen from what {@code kind} at its best size would show. */
    double cost(Sudden of, Belief belief, Kind kind) {
      double size = size(of, belief, kind);
      double a = (ln - of.perUnitLn(belief, kind) * size) / uLn;
      double b = (level - of.perUnitLevel(belief, kind) * size) / uLevel;
      return a * a + b * b;
    }
  }
}
