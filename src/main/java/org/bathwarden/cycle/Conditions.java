package org.bathwarden.cycle;

import static org.bathwarden.alarm.AlarmCondition.active;
import static org.bathwarden.alarm.AlarmCondition.normal;
import static org.bathwarden.alarm.AlarmCondition.of;
import static org.bathwarden.alarm.AlarmCondition.proved;
import static org.bathwarden.alarm.AlarmCondition.unknown;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.Limit;
import org.bathwarden.alarm.Presence;
import org.bathwarden.alarm.Priority;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Disagreement;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.DosingStep;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.Flag;
import org.bathwarden.estimate.LossWatch;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.MetalLimits;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankSheet;

/** What one pass has to say about every alarm of a tank. */
final class Conditions {

  private static final Set<BathState> NOT_WORKING =
      Set.of(BathState.EMPTY, BathState.CHARGING, BathState.DRAINING, BathState.OUT_OF_USE);

  /** Trips that have an alarm of their own. */
  private static final Map<Cause, Set<AlarmKey>> TOLD_BY =
      Map.ofEntries(
          Map.entry(Cause.OVERFLOW_FLOAT, Set.of(AlarmKey.LEVEL_OVERFILL)),
          Map.entry(Cause.FAST_LOSS, Set.of(AlarmKey.FAST_LOSS)),
          Map.entry(Cause.FLOW_WITHOUT_ORDER, Set.of(AlarmKey.FLOW_WITHOUT_ORDER)),
          Map.entry(Cause.OUTPUT_DID_NOT_DROP, Set.of(AlarmKey.OUTPUT_NOT_DROPPED)),
          Map.entry(Cause.RESPONSE_MISMATCH, Set.of(AlarmKey.WRONG_PRODUCT)),
          Map.entry(
              Cause.CONCENTRATE_MISCOUNT,
              Set.of(AlarmKey.TOTALIZER_MISMATCH, AlarmKey.ORDER_OVER_DELIVERED)),
          Map.entry(
              Cause.WATER_MISCOUNT,
              Set.of(AlarmKey.TOTALIZER_MISMATCH, AlarmKey.ORDER_OVER_DELIVERED)),
          Map.entry(Cause.CONCENTRATE_NO_FLOW, Set.of(AlarmKey.ORDER_SHORT)),
          Map.entry(Cause.WATER_NO_FLOW, Set.of(AlarmKey.ORDER_SHORT)),
          Map.entry(Cause.CONCENTRATE_CAP_LONG, Set.of(AlarmKey.CAP_REACHED)),
          Map.entry(Cause.WATER_CAP_LONG, Set.of(AlarmKey.CAP_REACHED)),
          Map.entry(Cause.TITRATION_DOUBTFUL_HIGH, Set.of(AlarmKey.TITRATION_CONTRADICTS)));

  private final Sheet sheet;
  private final TankSheet tank;
  private final AlarmState alarms;
  private final PassInput input;
  private final Signals signals;
  private final Estimate estimate;
  private final Estimate vouched;
  private final LossWatch loss;
  private final DosingStep dosing;
  private final Logbook logbook;
  private final Optional<PlcWords> words;
  private final List<AlarmCondition> found = new ArrayList<>();

  private Conditions(
      Sheet sheet,
      AlarmState alarms,
      PassInput input,
      Signals signals,
      Estimate estimate,
      Estimate vouched,
      LossWatch loss,
      DosingStep dosing,
      Logbook logbook) {
    this.sheet = sheet;
    this.tank = sheet.tank();
    this.alarms = alarms;
    this.input = input;
    this.signals = signals;
    this.estimate = estimate;
    this.vouched = vouched;
    this.loss = loss;
    this.dosing = dosing;
    this.logbook = logbook;
    this.words = signals.plcAlive() ? input.image().words() : Optional.empty();
  }

  /** One condition for each alarm of the tank. */
  static List<AlarmCondition> found(
      Sheet sheet,
      AlarmState alarms,
      PassInput input,
      Signals signals,
      Estimate estimate,
      Estimate vouched,
      LossWatch loss,
      DosingStep dosing,
      Logbook logbook) {
    Conditions conditions =
        new Conditions(sheet, alarms, input, signals, estimate, vouched, loss, dosing, logbook);
    conditions.level();
    conditions.bath();
    conditions.probes();
    conditions.titrations();
    conditions.flow();
    conditions.authority();
    return conditions.found;
  }

  /** Causes of the cause and effect table that lie outside dosing's own sight. */
  static Set<Cause> causes(Sheet sheet, LossWatch loss, ResponseWatch response) {
    Set<Cause> causes = EnumSet.noneOf(Cause.class);
    if (loss.fast(sheet.tank().geometry())) {
      causes.add(Cause.FAST_LOSS);
    }
    if (response.mismatch()) {
      causes.add(Cause.RESPONSE_MISMATCH);
    }
    return causes;
  }

  private void level() {
    Geometry g = tank.geometry();
    double level = signals.value(Point.LEVEL);
    double settled = Double.isNaN(signals.settledLevelL()) ? level : signals.settledLevelL();
    String value = number(level, "L");
    boolean floatRaised = missing(Permit.OVERFLOW_CLEAR);
    found.add(
        floatRaised
            ? active(AlarmKey.LEVEL_OVERFILL, value, "overflow float")
            : limit(
                AlarmKey.LEVEL_OVERFILL,
                Limit.above(g.maximumL(), 0.01 * g.workingL()),
                level,
                "L",
                "level"));
    double deadband = 0.02 * g.workingL();
    found.add(
        limit(
            AlarmKey.LEVEL_BELOW_HEATER_GUARD,
            Limit.below(g.heaterGuardL(), deadband),
            level,
            "L",
            "level"));
    found.add(
        limit(AlarmKey.LEVEL_LOW, Limit.below(g.lowLevelL(), deadband), settled, "L", "level"));
    double free = g.maximumL() - g.loadDisplacementL() - g.foamAllowanceL();
    double high = Math.max(free, (g.workingL() + g.maximumL()) / 2);
    found.add(limit(AlarmKey.LEVEL_HIGH, Limit.above(high, deadband), settled, "L", "level"));
    found.add(of(AlarmKey.FAST_LOSS, observed(Cause.FAST_LOSS), value, "level against balance"));
    boolean rises = loss.rising(g) && !NOT_WORKING.contains(dosing.after().bath().state());
    found.add(
        rises
            ? active(AlarmKey.FLOW_WITHOUT_ORDER, value, "level rises, no meter counts")
            : fault(AlarmKey.FLOW_WITHOUT_ORDER, LineFault.FLOW_WITHOUT_ORDER));
    found.add(fault(AlarmKey.OUTPUT_NOT_DROPPED, LineFault.OUTPUT_DID_NOT_DROP));
  }

  private void bath() {
    // Neither alarm is silenced by a titration that nobody vouches for.
    double weakest = Math.min(vouched.concentrationPct(), estimate.concentrationPct());
    double strongest = Math.max(vouched.concentrationPct(), estimate.concentrationPct());
    double ofTargetPct = sheet.alarm().of(AlarmKey.CONCENTRATION_LOW).deadband();
    double deadband = ofTargetPct / 100 * tank.band().targetPct();
    found.add(
        limit(
            AlarmKey.CONCENTRATION_LOW,
            Limit.below(tank.band().lowPct(), deadband),
            weakest,
            "%",
            "median of the estimate"));
    Limit high = Limit.above(tank.band().highPct(), deadband);
    boolean light = tank.washesLightMetal();
    found.add(
        limit(
            AlarmKey.CONCENTRATION_HIGH_LIGHT_METAL,
            high,
            light ? strongest : 0,
            "%",
            "median of the estimate"));
    found.add(
        limit(
            AlarmKey.CONCENTRATION_HIGH,
            high,
            light ? 0 : strongest,
            "%",
            "median of the estimate"));

    double temperature = signals.value(Point.TEMPERATURE);
    MetalLimits metals = tank.strictest();
    double hottest =
        Math.min(
            tank.chemistry().useC().highC(),
            metals.temperatureHighC().orElse(Double.POSITIVE_INFINITY));
    found.add(
        limit(
            AlarmKey.TEMPERATURE_HIGH, Limit.above(hottest, 1), temperature, "°C", "temperature"));
    found.add(
        limit(
            AlarmKey.TEMPERATURE_LOW,
            Limit.below(tank.chemistry().useC().lowC(), 1),
            temperature,
            "°C",
            "temperature"));
    found.add(ph(metals, temperature));
    found.add(permitMissing(AlarmKey.CIRCULATION_OFF, Permit.CIRCULATION));
    found.add(stateConflict());
    found.add(
        of(
            AlarmKey.CHECK_FAILED,
            logbook.failedTwice(),
            logbook.failures(),
            "periodic check of the cleaning result"));
  }

  private AlarmCondition ph(MetalLimits limits, double temperatureC) {
    double ph = tank.chemistry().phAsLimitsMean(signals.value(Point.PH), temperatureC);
    if (limits.phLow().isEmpty() && limits.phHigh().isEmpty()) {
      return normal(AlarmKey.PH_OUTSIDE_LIMITS, number(ph, ""));
    }
    boolean was = alarms.active(AlarmKey.PH_OUTSIDE_LIMITS);
    Presence low = judge(limits.phLow(), false, ph, was);
    Presence high = judge(limits.phHigh(), true, ph, was);
    Presence worst = low == Presence.NORMAL ? high : low;
    return new AlarmCondition(
        AlarmKey.PH_OUTSIDE_LIMITS,
        worst,
        number(ph, ""),
        "pH as the limits mean it",
        Optional.empty());
  }

  private static Presence judge(OptionalDouble limit, boolean high, double value, boolean was) {
    return limit.isEmpty()
        ? Presence.NORMAL
        : new Limit(limit.getAsDouble(), 0.1, high).judge(value, was);
  }

  private AlarmCondition stateConflict() {
    BathState state = dosing.after().bath().state();
    boolean worked = NOT_WORKING.contains(state) && signals.loads() > 0;
    boolean draining = !NOT_WORKING.contains(state) && missing(Permit.DRAIN_CLOSED);
    String evidence =
        worked ? "loads pass through" : draining ? "drain not closed" : "state and measurements";
    return of(
        AlarmKey.BATH_STATE_CONFLICT,
        worked || draining,
        state.name().toLowerCase(Locale.ROOT).replace('_', ' '),
        evidence);
  }

  private void probes() {
    found.add(probe(AlarmKey.LEVEL_BAD, Point.LEVEL, Flag.LEVEL_SUSPECT));
    found.add(
        probe(AlarmKey.CONDUCTIVITY_PROBE_BAD, Point.CONDUCTIVITY, Flag.CONDUCTIVITY_SUSPECT));
    found.add(probe(AlarmKey.TEMPERATURE_PROBE_BAD, Point.TEMPERATURE, Flag.TEMPERATURE_MISSING));
    found.add(probe(AlarmKey.PH_PROBE_BAD, Point.PH));
  }

  /**
   * @param contradictions flags with which the estimator leaves the probe out
   */
  private AlarmCondition probe(AlarmKey key, Point point, Flag... contradictions) {
    Quality quality = signals.reading(point).quality();
    if (quality.reason() == Quality.Reason.NOT_WIRED) {
      return normal(key, "not wired");
    }
    boolean suspect = Stream.of(contradictions).anyMatch(estimate.flags()::contains);
    String evidence = quality.good() ? "contradicts the balance" : words(quality.reason());
    return of(
        key,
        !quality.good() || suspect,
        number(signals.reading(point).value(), point.unit()),
        evidence);
  }

  private void titrations() {
    found.add(
        of(
            AlarmKey.TITRATION_CONTRADICTS,
            estimate.flags().contains(Flag.TITRATION_DOUBTFUL),
            number(estimate.concentrationPct(), "%"),
            "last titration against the other evidence"));
    Duration interval = sheet.dosing().limits().titrationInterval();
    Duration since =
        Duration.between(
            estimate.lastAcceptedTitration().orElse(dosing.after().bath().since()),
            input.now().steady());
    AlarmCondition overdue =
        of(
            AlarmKey.TITRATION_OVERDUE,
            tank.chemistry().titrated() && since.compareTo(interval) > 0,
            number(since.toMinutes() / 60.0, "h since the last accepted one"),
            "time");
    found.add(acts(Cause.TITRATION_OVERDUE) ? overdue.atLeast(Priority.MEDIUM) : overdue);
    found.add(
        of(
            AlarmKey.CONCENTRATE_HELD,
            acts(Cause.INTERVAL_TOO_WIDE) || acts(Cause.TITRATION_OVERDUE),
            String.format(
                Locale.ROOT, "%.2f to %.2f %%", estimate.low95Pct(), estimate.high95Pct()),
            "95 % interval against the band"));
  }

  private void flow() {
    boolean weak =
        estimate.concentrationPct()
            < tank.band().lowPct() + 0.25 * (tank.band().targetPct() - tank.band().lowPct());
    boolean lowLevel = signals.value(Point.LEVEL) < tank.geometry().lowLevelL();
    found.add(raised(permitMissing(AlarmKey.CONCENTRATE_OUT, Permit.CONCENTRATE_AVAILABLE), weak));
    found.add(raised(permitMissing(AlarmKey.WATER_OUT, Permit.WATER_AVAILABLE), lowLevel));
    found.add(
        raised(
            of(
                AlarmKey.ORDER_SHORT,
                acts(Cause.CONCENTRATE_NO_FLOW) || acts(Cause.WATER_NO_FLOW),
                acts(Cause.CONCENTRATE_NO_FLOW) ? "concentrate" : "water",
                "delivered against ordered"),
            weak && acts(Cause.CONCENTRATE_NO_FLOW)));
    boolean miscounted = acts(Cause.CONCENTRATE_MISCOUNT) || acts(Cause.WATER_MISCOUNT);
    found.add(
        since(
            AlarmKey.ORDER_OVER_DELIVERED, disagreement(Disagreement.OVER_DELIVERED), miscounted));
    Optional<String> meters = disagreement(Disagreement.TOTALIZER);
    AlarmCondition mismatch = since(AlarmKey.TOTALIZER_MISMATCH, meters, miscounted);
    boolean again =
        meters.isPresent() && escalated(Cause.CONCENTRATE_MISCOUNT, Cause.WATER_MISCOUNT);
    found.add(
        signals.totalizerReset()
            ? proved(AlarmKey.TOTALIZER_MISMATCH, "a totalizer was reset", "nothing was booked")
            : again ? proved(mismatch.key(), mismatch.value(), "two orders") : mismatch);
    found.add(
        of(
            AlarmKey.UNBOOKED_CHANGE,
            estimate.flags().contains(Flag.UNEXPLAINED_CHANGE),
            number(estimate.volumeL(), "L"),
            "balance"));
    found.add(
        of(
            AlarmKey.CAP_REACHED,
            acts(Cause.CONCENTRATE_CAP_LONG) || acts(Cause.WATER_CAP_LONG),
            acts(Cause.CONCENTRATE_CAP_LONG) ? "concentrate" : "water",
            "volumes booked"));
    Optional<String> wrongDrum =
        input.entries().stream()
            .filter(Entry.DrumChange.class::isInstance)
            .map(Entry.DrumChange.class::cast)
            .filter(drum -> !drum.product().equals(tank.chemistry().product()))
            .map(drum -> "drum of \"" + drum.product() + "\" entered")
            .findFirst();
    found.add(
        acts(Cause.RESPONSE_MISMATCH)
            ? proved(AlarmKey.WRONG_PRODUCT, "conductivity", "response to the first portion")
            : since(AlarmKey.WRONG_PRODUCT, wrongDrum, false));
  }

  private void authority() {
    DosingState after = dosing.after();
    List<String> trips =
        after.interlocks().causes().entrySet().stream()
            .filter(e -> e.getValue().trippedAt().isPresent() && !told(e.getKey()))
            .map(e -> e.getKey().key())
            .sorted()
            .toList();
    boolean meant = sheet.dosing().mode() == Mode.COMMAND;
    boolean lost = after.book().latch().isPresent() || !trips.isEmpty();
    String evidence =
        after.book().latch().map(latch -> words(latch)).orElse("")
            + (trips.isEmpty() ? "" : " latched: " + String.join(", ", trips));
    found.add(of(AlarmKey.COMMAND_LOST, meant && lost, "not commanding", evidence.strip()));
    String bypassed =
        sheet.bypassed().stream().map(Conditions::words).sorted().collect(Collectors.joining(", "));
    found.add(
        of(
            AlarmKey.BYPASS_ACTIVE,
            !sheet.bypassed().isEmpty(),
            bypassed,
            "permit mapped to a constant and signed off"));
  }

  /** Whether an alarm of its own stands for what tripped: one cause calls once. */
  private boolean told(Cause trip) {
    Set<AlarmKey> own = TOLD_BY.getOrDefault(trip, Set.of());
    return found.stream().anyMatch(c -> own.contains(c.key()) && c.presence() != Presence.NORMAL);
  }

  private AlarmCondition limit(
      AlarmKey key, Limit limit, double value, String unit, String evidence) {
    return new AlarmCondition(
        key,
        limit.judge(value, alarms.active(key)),
        number(value, unit),
        evidence,
        Optional.empty());
  }

  private AlarmCondition fault(AlarmKey key, LineFault fault) {
    return words
        .map(w -> of(key, w.shows(fault), "fault bit " + fault.ordinal(), "PLC"))
        .orElseGet(() -> unknown(key, "no word from the PLC"));
  }

  private AlarmCondition permitMissing(AlarmKey key, Permit permit) {
    return words
        .map(w -> of(key, !w.permits(permit), "permit bit " + permit.ordinal(), "PLC"))
        .orElseGet(() -> unknown(key, "no word from the PLC"));
  }

  private boolean missing(Permit permit) {
    return words.isPresent() && !words.get().permits(permit);
  }

  /** Stands from the pass that finds it until {@code holds} is over. */
  private AlarmCondition since(AlarmKey key, Optional<String> now, boolean holds) {
    boolean found = alarms.active(key) || alarms.pending(key);
    return of(key, now.isPresent() || (holds && found), now.orElse(""), "books");
  }

  private boolean escalated(Cause... causes) {
    return Stream.of(causes)
        .map(dosing.after().interlocks().causes()::get)
        .anyMatch(memory -> memory != null && memory.escalated());
  }

  private static AlarmCondition raised(AlarmCondition condition, boolean urgent) {
    return urgent ? condition.atLeast(Priority.MEDIUM) : condition;
  }

  private Optional<String> disagreement(Disagreement what) {
    return dosing.events().stream()
        .filter(DosingEvent.OrderDisagrees.class::isInstance)
        .map(DosingEvent.OrderDisagrees.class::cast)
        .filter(event -> event.what() == what)
        .map(DosingEvent.OrderDisagrees::detail)
        .findFirst();
  }

  private boolean observed(Cause cause) {
    var memory = dosing.after().interlocks().causes().get(cause);
    return memory != null && memory.seenSince().isPresent();
  }

  private boolean acts(Cause cause) {
    return dosing.verdict().active().contains(cause);
  }

  private static String words(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }

  private static String number(double value, String unit) {
    return Double.isFinite(value)
        ? String.format(Locale.ROOT, "%.4g %s", value, unit).strip()
        : "no value";
  }
}
