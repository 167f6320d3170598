package org.bathwarden.tank;

import java.util.OptionalDouble;

/**
 * What one metal stands in one product. A missing limit means none is set.
 *
 * @param phLow lowest pH
 * @param phHigh highest pH
 * @param concentrationHighPct highest concentration, %
 * @param temperatureHighC highest bath temperature, °C
 */
public record MetalLimits(
    OptionalDouble phLow,
    OptionalDouble phHigh,
    OptionalDouble concentrationHighPct,
    OptionalDouble temperatureHighC) {}
