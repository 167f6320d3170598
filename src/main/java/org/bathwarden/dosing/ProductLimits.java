package org.bathwarden.dosing;

/**
 * Limits of one product over rolling windows, L; every origin counts.
 *
 * @param smallestPortionL smallest portion worth metering
 * @param portionL largest portion
 * @param perHourL in any hour
 * @param per8hL in any eight hours
 * @param sinceTitrationL since the last accepted titration; infinite for water
 */
public record ProductLimits(
    double smallestPortionL,
    double portionL,
    double perHourL,
    double per8hL,
    double sinceTitrationL) {}
