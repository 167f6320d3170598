package org.bathwarden.signal;

import java.time.Duration;
import java.util.EnumMap;
import java.util.Map;

/**
 * How the signals of one tank are judged.
 *
 * @param checks for each measured value
 * @param concentrate the concentrate meter
 * @param water the make-up water meter
 * @param settleTime how long the level must have been settled, and the span of its median
 * @param staleAfter the PLC is stale when its heartbeat has not moved for this long
 */
public record SignalSettings(
    Map<Point, Check> checks,
    Meter concentrate,
    Meter water,
    Duration settleTime,
    Duration staleAfter) {

  /** Copies the map. */
  public SignalSettings {
    checks = Map.copyOf(checks);
  }

  /**
   * How one measured value is judged.
   *
   * @param stepMax largest change at once that is believed, in the point's unit
   * @param ratePerMin largest rate of change that is believed, unit per minute
   * @param frozenAfter how long it may read the same to the last digit while the tank is worked
   */
  public record Check(double stepMax, double ratePerMin, Duration frozenAfter) {}

  /**
   * A flow meter.
   *
   * @param ratedMlPerS flow at full rate, mL/s
   * @param mlPerPulse volume of a pulse, mL
   */
  public record Meter(double ratedMlPerS, double mlPerPulse) {}

  /**
   * Defaults for a tank of {@code workingL}: judgement, to be rationalised on site.
   *
   * @param workingL working volume, L
   * @param concentrate the concentrate meter
   * @param water the make-up water meter
   */
  public static SignalSettings defaults(double workingL, Meter concentrate, Meter water) {
    Map<Point, Check> checks = new EnumMap<>(Point.class);
    Duration frozen = Duration.ofMinutes(30);
    checks.put(Point.LEVEL, new Check(0.15 * workingL, 0.10 * workingL, frozen));
    checks.put(Point.TEMPERATURE, new Check(6, 4, frozen));
    checks.put(Point.CONDUCTIVITY, new Check(25, 15, frozen));
    checks.put(Point.PH, new Check(1.5, 1, frozen));
    return new SignalSettings(
        checks, concentrate, water, Duration.ofMinutes(2), Duration.ofSeconds(3));
  }
}
