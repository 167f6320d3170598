package org.bathwarden.cycle;

import java.time.Instant;
import java.util.List;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.signal.SignalState;

/**
 * Everything a tank remembers from pass to pass.
 *
 * @param signal of the signals
 * @param estimate of the estimator, with its history
 * @param watches of what is watched beside it
 * @param dosing of dosing, orders and proposals
 * @param alarm of the alarms
 * @param logbook of the entries
 * @param kept when what was last handed to the record
 */
public record TankState(
    SignalState signal,
    EstimateState estimate,
    Watches watches,
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
    return new StateSnapshot(signal, watches, dosing, alarm, logbook);
  }

  /** The state after a pass that made this of everything; nothing of it is kept yet. */
  TankState next(
      SignalState signalAfter,
      EstimateState estimated,
      Watches watched,
      DosingState dosed,
      AlarmState alarmed,
      Logbook written) {
    return new TankState(signalAfter, estimated, watched, dosed, alarmed, written, kept);
  }

  /** This state, with what of it is due to be kept added to {@code facts}. */
  TankState keeping(Sheet sheet, PassInput input, Estimate now, List<Fact> facts) {
    Kept next = Facts.keep(sheet, kept, input, snapshot(), estimate, now, facts);
    return new TankState(signal, estimate, watches, dosing, alarm, logbook, next);
  }
}
