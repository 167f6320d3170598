package org.bathwarden.cycle;

import org.bathwarden.alarm.AlarmState;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.signal.SignalState;

/**
 * A {@link TankState} as plain data, but for the estimator, which has a snapshot of its own.
 *
 * @param signal of the signals
 * @param watches of what is watched beside the estimate
 * @param dosing of dosing, orders and proposals
 * @param alarm of the alarms
 * @param logbook of the entries
 */
public record StateSnapshot(
    SignalState signal, Watches watches, DosingState dosing, AlarmState alarm, Logbook logbook) {}
