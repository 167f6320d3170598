package org.bathwarden.cycle;

import static org.bathwarden.alarm.AlarmCondition.judged;
import static org.bathwarden.alarm.AlarmCondition.of;
import static org.bathwarden.alarm.AlarmCondition.unknown;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.Limit;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingStep;
import org.bathwarden.dosing.Outlook;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.Finding;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.TankSheet;

/**
 * What the conditions of the alarms are judged by in one pass.
 *
 * @param sheet the tank's settings
 * @param alarms as they stood before this pass
 * @param input of the pass
 * @param signals of the pass
 * @param estimate of the pass, by all that was told
 * @param vouched the same without the titrations that nobody vouches for
 * @param findings of late, the withdrawn ones included
 * @param titrations what became of the latest titrations
 * @param watches what is watched beside the estimate, as of this pass
 * @param dosing what dosing made of the pass
 * @param outlook how long the tank can dose by itself
 * @param logbook of the entries, as of this pass
 */
record Evidence(
    Sheet sheet,
    AlarmState alarms,
    PassInput input,
    Signals signals,
    Estimate estimate,
    Estimate vouched,
    List<Finding> findings,
    List<TitrationVerdict> titrations,
    Watches watches,
    DosingStep dosing,
    Optional<Outlook> outlook,
    Logbook logbook) {

  private static final Set<BathState> NOT_WORKING =
      Set.of(BathState.EMPTY, BathState.CHARGING, BathState.DRAINING, BathState.OUT_OF_USE);

  TankSheet tank() {
    return sheet.tank();
  }

  /** The PLC's words, while it is alive. */
  private Optional<PlcWords> plc() {
    return signals.plcAlive() ? input.image().words() : Optional.empty();
  }

  /** Whether the bath state is one in which parts may be washed. */
  boolean working() {
    return working(dosing.after().bath().state());
  }

  static boolean working(BathState state) {
    return !NOT_WORKING.contains(state);
  }

  AlarmCondition limit(AlarmKey key, Limit limit, double value, String unit, String evidence) {
    return judged(key, limit.judge(value, alarms.active(key)), () -> number(value, unit), evidence);
  }

  AlarmCondition fault(AlarmKey key, LineFault fault) {
    return plc()
        .map(w -> of(key, w.shows(fault), words(fault), "the PLC reports this fault"))
        .orElseGet(() -> unknown(key, "no word from the PLC"));
  }

  AlarmCondition permitMissing(AlarmKey key, Permit permit) {
    return plc()
        .map(w -> of(key, !w.permits(permit), "not given: " + words(permit), "the PLC's permit"))
        .orElseGet(() -> unknown(key, "no word from the PLC"));
  }

  boolean missing(Permit permit) {
    return plc().map(w -> !w.permits(permit)).orElse(false);
  }

  boolean observed(Cause cause) {
    var memory = dosing.after().interlocks().causes().get(cause);
    return memory != null && memory.seenSince().isPresent();
  }

  boolean acts(Cause cause) {
    return dosing.verdict().active().contains(cause);
  }

  static String words(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }

  static String number(double value, String unit) {
    return Double.isFinite(value)
        ? String.format(Locale.ROOT, "%.4g %s", value, unit).strip()
        : "no value";
  }
}
