package org.bathwarden.cycle;

import static org.bathwarden.alarm.AlarmCondition.active;
import static org.bathwarden.alarm.AlarmCondition.normal;
import static org.bathwarden.alarm.AlarmCondition.of;
import static org.bathwarden.cycle.Evidence.number;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Limit;
import org.bathwarden.dosing.Cause;
import org.bathwarden.estimate.LossWatch.Unexplained;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Geometry;

/** Alarms of the level: what stands in the tank, and what comes and goes unasked. */
final class LevelConditions {

  private LevelConditions() {}

  static List<AlarmCondition> found(Evidence seen) {
    List<AlarmCondition> found = new ArrayList<>();
    Geometry g = seen.tank().geometry();
    double level = seen.signals().value(Point.LEVEL);
    double settled =
        Double.isNaN(seen.signals().settledLevelL()) ? level : seen.signals().settledLevelL();
    boolean floatRaised = seen.missing(Permit.OVERFLOW_CLEAR);
    found.add(
        floatRaised
            ? active(AlarmKey.LEVEL_OVERFILL, number(level, "L"), "overflow float")
            : seen.limit(
                AlarmKey.LEVEL_OVERFILL,
                Limit.above(g.maximumL(), 0.01 * g.workingL()),
                level,
                "L",
                "level"));
    double deadband = 0.02 * g.workingL();
    found.add(
        seen.limit(
            AlarmKey.LEVEL_BELOW_HEATER_GUARD,
            Limit.below(g.heaterGuardL(), deadband),
            level,
            "L",
            "level"));
    // A bath that is made up was never at its level: it has nothing to return from at the mark.
    boolean filling = seen.dosing().after().bath().state() == BathState.CHARGING;
    found.add(
        filling
            ? normal(AlarmKey.LEVEL_LOW)
            : seen.limit(
                AlarmKey.LEVEL_LOW, Limit.below(g.lowLevelL(), deadband), settled, "L", "level"));
    double free = g.highestL();
    double high = Math.max(free, (g.workingL() + g.maximumL()) / 2);
    found.add(seen.limit(AlarmKey.LEVEL_HIGH, Limit.above(high, deadband), settled, "L", "level"));
    found.add(fastLoss(seen, seen.watches().loss().loss(g)));
    found.add(
        seen.watches()
            .loss()
            .rise(g)
            .filter(rise -> seen.working())
            .map(LevelConditions::rising)
            .orElseGet(
                () -> seen.fault(AlarmKey.FLOW_WITHOUT_ORDER, LineFault.FLOW_WITHOUT_ORDER)));
    found.add(seen.fault(AlarmKey.OUTPUT_NOT_DROPPED, LineFault.OUTPUT_DID_NOT_DROP));
    return found;
  }

  private static AlarmCondition fastLoss(Evidence seen, Optional<Unexplained> loss) {
    String evidence =
        loss.filter(Unexplained::byBooking)
            .map(
                found ->
                    String.format(
                        Locale.ROOT,
                        "the level does not show the %.0f L that were counted or booked in",
                        found.cameInL()))
            .orElse("the level falls, and no meter, entry, load or evaporation explains it");
    return of(
        AlarmKey.FAST_LOSS,
        seen.observed(Cause.FAST_LOSS),
        () -> loss.map(found -> "lost " + amount(found)).orElse(""),
        evidence);
  }

  private static AlarmCondition rising(Unexplained rise) {
    return active(
        AlarmKey.FLOW_WITHOUT_ORDER,
        "gained " + amount(rise),
        "the level rises, no meter counts and nothing is booked");
  }

  private static String amount(Unexplained change) {
    return String.format(
        Locale.ROOT, "%.0f L in %.1f min", change.litres(), change.within().toSeconds() / 60.0);
  }
}
