package org.bathwarden.tank;

/**
 * Make-up water. Returned rinse is not of zero strength.
 *
 * @param strengthPct Cw, % by volume of fresh concentrate equivalent
 * @param strengthUPct its standard uncertainty, %
 * @param temperatureC temperature at which it arrives, °C
 */
public record MakeUpWater(double strengthPct, double strengthUPct, double temperatureC) {}
