package org.bathwarden.estimate;

import java.time.Instant;

/**
 * What one image of the line says to the balance. NaN stands for a bad or missing reading, and for
 * a flow that is not known.
 *
 * @param at when, on the steady clock
 * @param levelL level, L, as it is or would be while the pump runs
 * @param temperatureC bath temperature, °C
 * @param conductivityMsCm raw conductivity, mS/cm
 * @param ph raw pH
 * @param concentrateMl concentrate since the previous sample by the totalizer, mL
 * @param waterMl water since the previous sample by the totalizer, mL
 * @param loads loads since the previous sample
 * @param circulating whether the bath is being mixed
 * @param levelSettled whether the level is in a known state: no load moving, circulation unchanged
 */
public record Sample(
    Instant at,
    double levelL,
    double temperatureC,
    double conductivityMsCm,
    double ph,
    double concentrateMl,
    double waterMl,
    double loads,
    boolean circulating,
    boolean levelSettled) {}
