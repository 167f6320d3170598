package org.bathwarden.estimate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.tank.TankSheet;

/** States of the readings that are findings when they begin. */
final class Conditions {

  private Conditions() {}

  private static final int LEVEL_STUCK = 0;
  private static final int TEMPERATURE_STUCK = 1;
  private static final int CONDUCTIVITY_STUCK = 2;
  private static final int LEVEL_MISSING = 3;
  private static final int TEMPERATURE_MISSING = 4;
  private static final int CONDUCTIVITY_MISSING = 5;
  private static final int DRIFT = 6;
  private static final int WATER = 7;
  private static final int SPIKES = 8;
  private static final int PH_STUCK = 9;
  private static final int PH_MISSING = 10;
  private static final int PH_OFF = 11;

  /** The same condition is found anew only after it has been over for so long. */
  private static final double QUIET_H = 6;

  private static final double STUCK_H = 0.75;
  private static final double MISSING_H = 0.5;
  private static final double SPIKES_MOST = 5;

  /**
   * The pH of a bath in use stays within so much of its usual one: an alkali four times weaker has
   * lg 4 = 0.6 less.
   */
  private static final double PH_OFF_MOST = 0.6;

  private static final double DRIFT_LN = 0.08;
  private static final double DRIFT_U = 2.5;
  private static final double RESPONSE = 0.35;
  private static final double RESPONSE_U = 4;

  /** A totalizer can only go back from so far off, as ln; judgement. */
  private static final double LEAST_BACK = 0.2;

  /** Doubt of how far it is off, as a share: doses from before are still in the sums. */
  private static final double SIZE_U = 0.7;

  /** The same for water, whose answer parts and foam disturb. */
  private static final double WATER_RESPONSE = 0.4;

  private static final double WATER_RESPONSE_U = 6;

  /** Parts that leave while water comes in, of the working volume; judgement. */
  private static final double DISPLACED_SHARE = 0.005;

  /** A totalizer is taken to have changed so long before it showed; judgement. */
  private static final double METER_BACK_H = 4;

  /** What begins to be so with this step. */
  static List<Finding> begin(Belief belief, double hours, TankSheet tank) {
    double[] c = belief.counter;
    List<Finding> found = List.of();
    boolean level = Watch.levelStuck(c, STUCK_H, tank);
    found = probe(found, belief, hours, LEVEL_STUCK, level, "level", "stuck");
    boolean temperature = Watch.temperatureStuck(c, STUCK_H);
    found = probe(found, belief, hours, TEMPERATURE_STUCK, temperature, "temperature", "stuck");
    boolean conductivity = Watch.conductivityStuck(c, STUCK_H);
    found = probe(found, belief, hours, CONDUCTIVITY_STUCK, conductivity, "conductivity", "stuck");
    String none = "without readings";
    boolean gone = c[Belief.LEVEL_GONE_H] > MISSING_H;
    found = probe(found, belief, hours, LEVEL_MISSING, gone, "level", none);
    double age = c[Belief.TEMPERATURE_AGE_H];
    gone = age > MISSING_H && Double.isFinite(age);
    found = probe(found, belief, hours, TEMPERATURE_MISSING, gone, "temperature", none);
    gone = c[Belief.CONDUCTIVITY_GONE_H] > MISSING_H;
    found = probe(found, belief, hours, CONDUCTIVITY_MISSING, gone, "conductivity", none);
    found =
        probe(
            found, belief, hours, SPIKES, c[Belief.SPIKES] > SPIKES_MOST, "conductivity", "spikes");
    found = probe(found, belief, hours, DRIFT, drifting(belief), "conductivity", "drifting");
    found = probe(found, belief, hours, PH_STUCK, Watch.phStuck(c, STUCK_H), "ph", "stuck");
    found = probe(found, belief, hours, PH_MISSING, c[Belief.PH_GONE_H] > MISSING_H, "ph", none);
    gone = Math.abs(c[Belief.PH_NOW] - c[Belief.PH_USUAL]) > PH_OFF_MOST;
    found = probe(found, belief, hours, PH_OFF, gone, "ph", "far from what is usual here");
    double displaced = DISPLACED_SHARE * tank.geometry().workingL();
    double scatter = Math.hypot(belief.track.scatter(Track.LEVEL, 1), displaced);
    return totalizer(found, belief, hours, WATER, Belief.WATER_PRODUCT, scatter, "water");
  }

  /** The totalizer, if the bath has not answered to doses as it should for some time. */
  static Optional<Presumed> meter(Belief belief) {
    double square = belief.counter[Belief.DOSE_SQUARE];
    double off = square > 0 ? belief.counter[Belief.DOSE_PRODUCT] / square : 0;
    double u = belief.track.scatter(Track.LN_KAPPA, 1) / Math.sqrt(Math.max(1e-12, square));
    if (Math.abs(off) < RESPONSE || Math.abs(off) < RESPONSE_U * u) {
      return Optional.empty();
    }
    double share = Math.max(0.1, 1 + off);
    double delivered = belief.state.x[Belief.DELIVERED];
    boolean back = off * delivered < 0 && Math.abs(delivered) > LEAST_BACK;
    return Optional.of(
        new Presumed(
            back ? Presumed.Kind.METER_BACK : Presumed.Kind.METER,
            belief.atMillis() - (long) (METER_BACK_H * 3.6e6),
            belief.atMillis(),
            Math.log(share),
            Math.max(u / share, SIZE_U * Math.abs(Math.log(share))),
            Math.abs(off) / u));
  }

  private static boolean drifting(Belief belief) {
    double gone = Math.abs(belief.state.x[Belief.GAIN] - belief.counter[Belief.GAIN_USUAL]);
    double u = Math.sqrt(Math.max(0, belief.state.variance(Belief.GAIN)));
    return gone > DRIFT_LN && gone > DRIFT_U * u;
  }

  private static List<Finding> totalizer(
      List<Finding> found,
      Belief belief,
      double hours,
      int condition,
      int product,
      double scatter,
      String what) {
    double square = belief.counter[product + 1];
    double off = square > 0 ? Math.abs(belief.counter[product]) / square : 0;
    boolean holds = off > WATER_RESPONSE && off * Math.sqrt(square) > WATER_RESPONSE_U * scatter;
    if (!begins(belief, hours, condition, holds)) {
      return found;
    }
    double share = 1 + belief.counter[product] / square;
    String detail =
        String.format(Locale.ROOT, "%s: the bath gets %.2f of what is counted", what, share);
    return with(found, belief, FindingKind.TOTALIZER_MISMATCH, what, detail, off);
  }

  private static List<Finding> probe(
      List<Finding> found,
      Belief belief,
      double hours,
      int condition,
      boolean holds,
      String probe,
      String what) {
    return begins(belief, hours, condition, holds)
        ? with(found, belief, FindingKind.PROBE_SUSPECT, probe, probe + " " + what, 0)
        : found;
  }

  private static boolean begins(Belief belief, double hours, int condition, boolean holds) {
    int i = Belief.QUIET_H + condition;
    double quiet = belief.counter[i];
    belief.counter[i] = holds ? 0 : quiet + hours;
    return holds && quiet > QUIET_H;
  }

  private static List<Finding> with(
      List<Finding> found,
      Belief belief,
      FindingKind kind,
      String subject,
      String detail,
      double size) {
    List<Finding> more = new ArrayList<>(found);
    Instant since = Instant.ofEpochMilli(belief.atMillis());
    more.add(new Finding(0, since, since, kind, subject, detail, size, 0, false));
    return more;
  }
}
