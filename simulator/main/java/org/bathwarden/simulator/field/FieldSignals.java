package org.bathwarden.simulator.field;

/**
 * What one tank's sensors, meters and switches give the PLC at the start of a PLC scan.
 *
 * @param levelL level transmitter, liquid volume in L; NaN if the transmitter has failed
 * @param temperatureC bath temperature in °C; NaN if failed
 * @param conductivityMsCm raw conductivity at bath temperature in mS/cm; NaN if failed
 * @param ph raw pH; NaN if failed
 * @param concentrateMl volume the concentrate meter has counted since it was built, mL, whole
 *     pulses only, never falls
 * @param waterMl the same for the make-up water meter
 * @param loads part loads through the tank since the start
 * @param permits the permit bits of the line contract, 1 = good
 * @param sensorFaults fault bits 0 to 3 of the line contract (level, temperature, conductivity,
 *     pH), 1 = declared bad
 * @param panelKind what a person doses by hand at the panel: 0 nothing, 1 concentrate, 2 water
 * @param concentrateRunning feedback of the concentrate pump's contactor
 * @param waterOpen feedback of the water valve
 */
public record FieldSignals(
    double levelL,
    double temperatureC,
    double conductivityMsCm,
    double ph,
    long concentrateMl,
    long waterMl,
    long loads,
    int permits,
    int sensorFaults,
    int panelKind,
    boolean concentrateRunning,
    boolean waterOpen) {}
