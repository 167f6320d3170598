package org.bathwarden.cycle;

import java.time.Instant;
import java.util.List;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.LossWatch;
import org.bathwarden.signal.SignalState;

/**
 * Everything a tank remembers from pass to pass.
 *
 * @param signal of the signals
 * @param estimate of the estimator, with its history
 * @param loss of what leaves the tank
 * @param response of what a new lot does to the bath
 * @param dosing of dosing, orders and proposals
 * @param alarm of the alarms
 * @param logbook of the entries
 * @param kept when what was last handed to the record
 */
public record TankState(
    SignalState signal,
    EstimateState estimate,
    LossWatch loss,
    ResponseWatch response,
    DosingState dosing,
    AlarmState alarm,
    Logbook logbook,
    Kept kept) {

  /**
   * When what was last handed to the record, steady clock.
   *
   * @param image the image and the estimate
   * @param states the small states
   * @param estimator the estimator with its history
   */
  public record Kept(Instant image, Instant states, Instant estimator) {

    /** Nothing was kept yet. */
    public static final Kept NEVER = new Kept(Instant.MIN, Instant.MIN, Instant.MIN);
  }

  /** This state as plain data, without the estimator. */
  public StateSnapshot snapshot() {
    return new StateSnapshot(signal, loss, response, dosing, alarm, logbook);
  }

  /** This state, with what of it is due to be kept added to {@code facts}. */
  TankState keeping(Sheet sheet, PassInput input, Estimate now, List<Fact> facts) {
    Kept next = Facts.keep(sheet, kept, input, snapshot(), estimate, now, facts);
    return new TankState(signal, estimate, loss, response, dosing, alarm, logbook, next);
  }
}
