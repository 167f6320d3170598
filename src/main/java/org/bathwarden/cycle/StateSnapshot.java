package org.bathwarden.cycle;

import org.bathwarden.alarm.AlarmState;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.estimate.LossWatch;
import org.bathwarden.signal.SignalState;

/**
 * A {@link TankState} as plain data, but for the estimator, which has a snapshot of its own.
 *
 * @param signal of the signals
 * @param loss of what leaves the tank
 * @param response of what a new lot does to the bath
 * @param dosing of dosing, orders and proposals
 * @param alarm of the alarms
 * @param logbook of the entries
 */
public record StateSnapshot(
    SignalState signal,
    LossWatch loss,
    ResponseWatch response,
    DosingState dosing,
    AlarmState alarm,
    Logbook logbook) {}
