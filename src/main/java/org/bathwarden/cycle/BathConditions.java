package org.bathwarden.cycle;

import static org.bathwarden.alarm.AlarmCondition.judged;
import static org.bathwarden.alarm.AlarmCondition.normal;
import static org.bathwarden.alarm.AlarmCondition.of;
import static org.bathwarden.cycle.Evidence.number;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Limit;
import org.bathwarden.alarm.Presence;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.MetalLimits;

/** Alarms of the bath: strength, temperature, pH, circulation, its state and its checks. */
final class BathConditions {

  /** So much above empty is no heel and no noise, share of the working level; judgement. */
  private static final double FILLED_SHARE = 0.03;

  private BathConditions() {}

  static List<AlarmCondition> found(Evidence seen) {
    List<AlarmCondition> found = new ArrayList<>();
    // Neither alarm is silenced by a titration that nobody vouches for.
    double told = seen.estimate().concentrationPct();
    double vouched = seen.vouched().concentrationPct();
    double weakest = Math.min(vouched, told);
    double strongest = Math.max(vouched, told);
    double ofTargetPct = seen.sheet().alarm().of(AlarmKey.CONCENTRATION_LOW).deadband();
    double deadband = ofTargetPct / 100 * seen.tank().band().targetPct();
    found.add(
        seen.limit(
            AlarmKey.CONCENTRATION_LOW,
            Limit.below(seen.tank().band().lowPct(), deadband),
            weakest,
            "%",
            "median of the estimate"));
    Limit high = Limit.above(seen.tank().band().highPct(), deadband);
    boolean light = seen.tank().washesLightMetal();
    found.add(
        seen.limit(
            AlarmKey.CONCENTRATION_HIGH_LIGHT_METAL,
            high,
            light ? strongest : 0,
            "%",
            "median of the estimate"));
    found.add(
        seen.limit(
            AlarmKey.CONCENTRATION_HIGH,
            high,
            light ? 0 : strongest,
            "%",
            "median of the estimate"));

    double temperature = seen.signals().value(Point.TEMPERATURE);
    MetalLimits metals = seen.tank().strictest();
    double hottest =
        Math.min(
            seen.tank().chemistry().useC().highC(),
            metals.temperatureHighC().orElse(Double.POSITIVE_INFINITY));
    found.add(
        seen.limit(
            AlarmKey.TEMPERATURE_HIGH, Limit.above(hottest, 1), temperature, "°C", "temperature"));
    found.add(
        seen.limit(
            AlarmKey.TEMPERATURE_LOW,
            Limit.below(seen.tank().chemistry().useC().lowC(), 1),
            temperature,
            "°C",
            "temperature"));
    found.add(ph(seen, metals, temperature));
    found.add(seen.permitMissing(AlarmKey.CIRCULATION_OFF, Permit.CIRCULATION));
    found.add(stateConflict(seen));
    found.add(
        of(
            AlarmKey.CHECK_FAILED,
            seen.logbook().failedTwice(),
            seen.logbook().failures(),
            "periodic check of the cleaning result"));
    return found;
  }

  private static AlarmCondition ph(Evidence seen, MetalLimits limits, double temperatureC) {
    double ph =
        seen.tank().chemistry().phAsLimitsMean(seen.signals().value(Point.PH), temperatureC);
    if (limits.phLow().isEmpty() && limits.phHigh().isEmpty()) {
      return normal(AlarmKey.PH_OUTSIDE_LIMITS);
    }
    boolean was = seen.alarms().active(AlarmKey.PH_OUTSIDE_LIMITS);
    Presence low = judge(limits.phLow(), false, ph, was);
    Presence high = judge(limits.phHigh(), true, ph, was);
    Presence worst = low == Presence.NORMAL ? high : low;
    return judged(
        AlarmKey.PH_OUTSIDE_LIMITS, worst, () -> number(ph, ""), "pH as the limits mean it");
  }

  private static Presence judge(OptionalDouble limit, boolean high, double value, boolean was) {
    return limit.isEmpty()
        ? Presence.NORMAL
        : new Limit(limit.getAsDouble(), 0.1, high).judge(value, was);
  }

  private static AlarmCondition stateConflict(Evidence seen) {
    BathState state = seen.dosing().after().bath().state();
    String evidence = conflict(seen, state).orElse("");
    return of(
        AlarmKey.BATH_STATE_CONFLICT,
        !evidence.isEmpty(),
        () -> state.name().toLowerCase(Locale.ROOT).replace('_', ' '),
        evidence.isEmpty() ? "state and measurements" : evidence);
  }

  /** What speaks against the bath being in {@code state}. */
  private static Optional<String> conflict(Evidence seen, BathState state) {
    double levelL = seen.signals().value(Point.LEVEL);
    double emptyL = seen.sheet().dosing().procedures().emptyL(seen.tank());
    boolean circulates =
        seen.dosing().after().procedures().open().map(p -> p.step().circulates()).orElse(false);
    if (state != BathState.IN_USE && seen.watches().loaded(seen.input().now().steady())) {
      return Optional.of("loads pass through");
    } else if (state == BathState.EMPTY
        && levelL > emptyL + FILLED_SHARE * seen.tank().geometry().workingL()) {
      return Optional.of(
          "liquid stands in a tank that is said to be empty: " + number(levelL, "L"));
    } else if ((seen.working() || state == BathState.CHARGING)
        && seen.missing(Permit.DRAIN_CLOSED)) {
      return Optional.of("drain not closed");
    } else if (circulates && seen.missing(Permit.CIRCULATION)) {
      return Optional.of("circulation off while a bath is made up");
    }
    return Optional.empty();
  }
}
