package org.bathwarden.cycle;

import org.bathwarden.alarm.AlarmState;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.estimate.EstimateSnapshot;
import org.bathwarden.signal.SignalState;

/** A {@link TankState} as plain data. */
public record StateSnapshot(
    SignalState signal, EstimateSnapshot estimate, DosingState dosing, AlarmState alarm) {}
