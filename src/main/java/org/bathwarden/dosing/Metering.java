package org.bathwarden.dosing;

/**
 * A pump or valve with its meter.
 *
 * @param mlPerPulse mL for each pulse of the meter
 * @param rateLPerMin rated flow, L/min
 */
public record Metering(double mlPerPulse, double rateLPerMin) {}
