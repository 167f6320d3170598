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
    OptionalDouble temperatureHighC) {

  /** No limit at all. */
  public static final MetalLimits NONE =
      new MetalLimits(
          OptionalDouble.empty(),
          OptionalDouble.empty(),
          OptionalDouble.empty(),
          OptionalDouble.empty());

  /** The stricter of these and {@code other}, limit by limit. */
  public MetalLimits and(MetalLimits other) {
    return new MetalLimits(
        stricter(phLow, other.phLow, true),
        stricter(phHigh, other.phHigh, false),
        stricter(concentrationHighPct, other.concentrationHighPct, false),
        stricter(temperatureHighC, other.temperatureHighC, false));
  }

  private static OptionalDouble stricter(OptionalDouble a, OptionalDouble b, boolean higher) {
    if (a.isEmpty() || b.isEmpty()) {
      return a.isPresent() ? a : b;
    }
    return OptionalDouble.of(
        higher
            ? Math.max(a.getAsDouble(), b.getAsDouble())
            : Math.min(a.getAsDouble(), b.getAsDouble()));
  }
}
