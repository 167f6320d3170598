package org.bathwarden.cycle;

import static org.bathwarden.alarm.AlarmCondition.of;
import static org.bathwarden.alarm.AlarmCondition.proved;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Priority;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Disagreement;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.estimate.Finding;
import org.bathwarden.estimate.FindingKind;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/** Alarms of what is dosed and of what it is dosed from. */
final class DoseConditions {

  private static final Set<FindingKind> UNBOOKED =
      Set.of(FindingKind.UNBOOKED_ADDITION, FindingKind.UNBOOKED_LOSS);

  /** A finding stands as an alarm for so long; judgement. */
  private static final Duration UNBOOKED_FOR = Duration.ofHours(6);

  private DoseConditions() {}

  static List<AlarmCondition> found(Evidence seen) {
    List<AlarmCondition> found = new ArrayList<>();
    boolean weak =
        seen.estimate().concentrationPct()
            < seen.tank().band().lowPct()
                + 0.25 * (seen.tank().band().targetPct() - seen.tank().band().lowPct());
    boolean lowLevel = seen.signals().value(Point.LEVEL) < seen.tank().geometry().lowLevelL();
    found.add(
        raised(seen.permitMissing(AlarmKey.CONCENTRATE_OUT, Permit.CONCENTRATE_AVAILABLE), weak));
    found.add(raised(seen.permitMissing(AlarmKey.WATER_OUT, Permit.WATER_AVAILABLE), lowLevel));
    found.add(
        raised(
            of(
                AlarmKey.ORDER_SHORT,
                seen.acts(Cause.CONCENTRATE_NO_FLOW) || seen.acts(Cause.WATER_NO_FLOW),
                seen.acts(Cause.CONCENTRATE_NO_FLOW) ? "concentrate" : "water",
                "delivered against ordered"),
            weak && seen.acts(Cause.CONCENTRATE_NO_FLOW)));
    boolean miscounted = seen.acts(Cause.CONCENTRATE_MISCOUNT) || seen.acts(Cause.WATER_MISCOUNT);
    found.add(
        since(
            seen,
            AlarmKey.ORDER_OVER_DELIVERED,
            disagreement(seen, Disagreement.OVER_DELIVERED),
            miscounted));
    Optional<String> meters =
        disagreement(seen, Disagreement.TOTALIZER)
            .or(() -> seen.watches().rise().found().map(DoseConditions::told));
    AlarmCondition mismatch = since(seen, AlarmKey.TOTALIZER_MISMATCH, meters, miscounted);
    boolean again =
        meters.isPresent() && escalated(seen, Cause.CONCENTRATE_MISCOUNT, Cause.WATER_MISCOUNT);
    Optional<String> unseen = disagreement(seen, Disagreement.UNSEEN_FLOW);
    found.add(
        unseen.isPresent()
            ? proved(AlarmKey.TOTALIZER_MISMATCH, unseen.get(), "booked in full")
            : seen.signals().totalizerReset()
                ? proved(AlarmKey.TOTALIZER_MISMATCH, "a totalizer was reset", "nothing was booked")
                : again ? proved(mismatch.key(), mismatch.value(), "two orders") : mismatch);
    Optional<Finding> unbooked = unbooked(seen);
    found.add(
        of(
            AlarmKey.UNBOOKED_CHANGE,
            unbooked.isPresent(),
            unbooked.map(Finding::detail).orElse(""),
            "level, conductivity and balance"));
    found.add(
        of(
            AlarmKey.CAP_REACHED,
            seen.acts(Cause.CONCENTRATE_CAP_LONG) || seen.acts(Cause.WATER_CAP_LONG),
            seen.acts(Cause.CONCENTRATE_CAP_LONG) ? "concentrate" : "water",
            "volumes booked"));
    Optional<String> wrongDrum =
        seen.input().entries().stream()
            .filter(Entry.DrumChange.class::isInstance)
            .map(Entry.DrumChange.class::cast)
            .filter(drum -> !drum.product().equals(seen.tank().chemistry().product()))
            .filter(drum -> !namesNoProduct(drum.product()))
            .map(drum -> "drum of \"" + drum.product() + "\" entered")
            .findFirst();
    found.add(
        seen.acts(Cause.RESPONSE_MISMATCH)
            ? proved(AlarmKey.WRONG_PRODUCT, "conductivity", "response to the first portion")
            : since(seen, AlarmKey.WRONG_PRODUCT, wrongDrum, false));
    return found;
  }

  /** What it is dosed as is no label's text: a slip at the console, not another drum. */
  private static boolean namesNoProduct(String text) {
    return Arrays.stream(Product.values()).anyMatch(p -> p.word().equalsIgnoreCase(text.strip()));
  }

  /**
   * The latest of this bath that nobody booked and no later evidence took back. While a bath is
   * made up its portions are checked one by one.
   */
  private static Optional<Finding> unbooked(Evidence seen) {
    if (seen.dosing().after().bath().state() == BathState.CHARGING) {
      return Optional.empty();
    }
    Now now = seen.input().now();
    Instant from = now.steady().minus(UNBOOKED_FOR);
    Instant charged =
        seen.dosing()
            .after()
            .chargedAt()
            .map(at -> at.minus(Duration.between(now.steady(), now.wall())))
            .orElse(Instant.MIN);
    return seen.findings().stream()
        .filter(f -> UNBOOKED.contains(f.kind()) && !f.withdrawn() && f.time().isAfter(from))
        .filter(f -> f.since().isAfter(charged))
        .reduce((earlier, later) -> later);
  }

  private static String told(RiseWatch.Mismatch m) {
    return String.format(
        Locale.ROOT,
        "%s: counted %.1f L, level rose by %.1f L",
        m.product().word(),
        m.countedL(),
        m.roseL());
  }

  /** Stands from the pass that finds it until {@code holds} is over. */
  private static AlarmCondition since(
      Evidence seen, AlarmKey key, Optional<String> now, boolean holds) {
    boolean found = seen.alarms().active(key) || seen.alarms().pending(key);
    return of(key, now.isPresent() || (holds && found), now.orElse(""), "books");
  }

  private static boolean escalated(Evidence seen, Cause... causes) {
    return Stream.of(causes)
        .map(seen.dosing().after().interlocks().causes()::get)
        .anyMatch(memory -> memory != null && memory.escalated());
  }

  private static AlarmCondition raised(AlarmCondition condition, boolean urgent) {
    return urgent ? condition.atLeast(Priority.MEDIUM) : condition;
  }

  private static Optional<String> disagreement(Evidence seen, Disagreement what) {
    return seen.dosing().events().stream()
        .filter(DosingEvent.OrderDisagrees.class::isInstance)
        .map(DosingEvent.OrderDisagrees.class::cast)
        .filter(event -> event.what() == what)
        .map(DosingEvent.OrderDisagrees::detail)
        .findFirst();
  }
}
