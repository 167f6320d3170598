package org.bathwarden.cycle;

import java.util.Set;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.dosing.DosingSettings;
import org.bathwarden.estimate.EstimatorSheet;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.SignalSettings;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankSheet;

/**
 * Everything about one tank that a pass needs and that does not change from pass to pass.
 *
 * @param tank the tank
 * @param signal how its signals are judged
 * @param estimator how its bath is estimated
 * @param dosing how it is dosed
 * @param alarm its alarms
 * @param bypassed permits mapped to a constant that an engineer signed off
 * @param fingerprint of the settings this was made from
 */
public record Sheet(
    TankSheet tank,
    SignalSettings signal,
    EstimatorSheet estimator,
    DosingSettings dosing,
    AlarmSettings alarm,
    Set<Permit> bypassed,
    String fingerprint) {

  /** Copies the set. */
  public Sheet {
    bypassed = Set.copyOf(bypassed);
  }

  /** The same with a lower highest mode. */
  public Sheet in(Mode mode) {
    return new Sheet(tank, signal, estimator, dosing.in(mode), alarm, bypassed, fingerprint);
  }
}
