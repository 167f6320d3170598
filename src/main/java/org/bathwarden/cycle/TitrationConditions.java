package org.bathwarden.cycle;

import static org.bathwarden.alarm.AlarmCondition.of;
import static org.bathwarden.cycle.Evidence.number;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Priority;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingLimits;
import org.bathwarden.dosing.TitrationDue;
import org.bathwarden.estimate.Flag;
import org.bathwarden.estimate.TitrationVerdict;

/** Alarms of the titration, and of what its absence holds. */
final class TitrationConditions {

  private TitrationConditions() {}

  static List<AlarmCondition> found(Evidence seen) {
    List<AlarmCondition> found = new ArrayList<>();
    Optional<TitrationVerdict> last =
        TitrationVerdict.lastThatCounts(
            seen.titrations().stream().filter(v -> !v.verdict().accepted()).toList());
    found.add(
        of(
            AlarmKey.TITRATION_CONTRADICTS,
            seen.estimate().flags().contains(Flag.TITRATION_DOUBTFUL),
            () ->
                last.map(
                        v ->
                            String.format(
                                Locale.ROOT,
                                "%.2f %% titrated against %.2f %% expected",
                                v.resultPct(),
                                v.predictedPct()))
                    .orElse(""),
            "the last titration against levels, meters, probes and earlier titrations"));
    DosingLimits limits = seen.sheet().dosing().limits();
    Instant now = seen.input().now().steady();
    Instant accepted =
        seen.estimate().lastAcceptedTitration().orElse(seen.dosing().after().bath().since());
    Optional<TitrationDue> due = seen.dosing().after().titration().facts().due(limits);
    boolean over =
        now.isAfter(due.map(TitrationDue::at).orElse(accepted.plus(limits.titrationInterval())));
    AlarmCondition overdue =
        of(
            AlarmKey.TITRATION_OVERDUE,
            seen.tank().chemistry().titrated() && over,
            () ->
                number(
                    Duration.between(accepted, now).toMinutes() / 60.0,
                    "h since the last accepted one"),
            due.map(TitrationDue::why).orElse("time") + prospect(seen));
    found.add(seen.acts(Cause.TITRATION_OVERDUE) ? overdue.atLeast(Priority.MEDIUM) : overdue);
    found.add(
        of(
            AlarmKey.CONCENTRATE_HELD,
            seen.acts(Cause.INTERVAL_TOO_WIDE) || seen.acts(Cause.TITRATION_OVERDUE),
            () ->
                String.format(
                    Locale.ROOT,
                    "%.2f to %.2f %%",
                    seen.estimate().low95Pct(),
                    seen.estimate().high95Pct()),
            "95 % interval against the band"));
    return found;
  }

  /** What a titration would bring, for whoever is called for it. */
  private static String prospect(Evidence seen) {
    return seen.outlook().map(outlook -> "; " + outlook.why()).orElse("");
  }
}
