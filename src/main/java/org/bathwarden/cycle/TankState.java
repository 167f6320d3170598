package org.bathwarden.cycle;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Outlook;
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
 * @param outlook how long the tank can dose by itself; worked out anew after a restart
 */
public record TankState(
    SignalState signal,
    EstimateState estimate,
    Watches watches,
    DosingState dosing,
    AlarmState alarm,
    Logbook logbook,
    Kept kept,
    Optional<Outlook> outlook) {

  /** A state of which nothing is foreseen yet. */
  public TankState(
      SignalState signal,
      EstimateState estimate,
      Watches watches,
      DosingState dosing,
      AlarmState alarm,
      Logbook logbook,
      Kept kept) {
    this(signal, estimate, watches, dosing, alarm, logbook, kept, Optional.empty());
  }

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
      Logbook written,
      Optional<Outlook> foreseen) {
    return new TankState(signalAfter, estimated, watched, dosed, alarmed, written, kept, foreseen);
  }

  /** This state, with what of it is due to be kept added to {@code facts}. */
  TankState keeping(Sheet sheet, PassInput input, Estimate now, List<Fact> facts) {
    Kept next = Facts.keep(sheet, kept, input, snapshot(), estimate, now, facts);
    return new TankState(signal, estimate, watches, dosing, alarm, logbook, next, outlook);
  }
}
