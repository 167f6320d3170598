package org.bathwarden.signal;

import java.time.Instant;
import java.util.Map;

/**
 * What one pass may believe of the measured values.
 *
 * @param at moment of the image, steady clock
 * @param readings every point, checked: a value that is stale, frozen, out of range or too fast is
 *     bad or uncertain here
 * @param settledLevelL median level over at least two minutes in a settled, known state, L; NaN if
 *     there is none
 * @param concentrateMl concentrate that flowed since the last readable totalizer, mL; 0 while it
 *     cannot be read, NaN in the pass that finds it reset
 * @param waterMl the same for make-up water
 * @param loads part loads since the previous pass; NaN if unknown
 * @param totalizerReset whether a totalizer was found reset or implausible in this pass
 * @param levelSettled whether the level is in a settled, known state now
 * @param plcAlive whether {@code plc_heartbeat} has moved within the last 3 s
 */
public record Signals(
    Instant at,
    Map<Point, Reading> readings,
    double settledLevelL,
    double concentrateMl,
    double waterMl,
    double loads,
    boolean totalizerReset,
    boolean levelSettled,
    boolean plcAlive) {

  /** Copies the map. */
  public Signals {
    readings = Map.copyOf(readings);
  }

  /** The reading of {@code point}; bad if it was never read. */
  public Reading reading(Point point) {
    Reading reading = readings.get(point);
    return reading == null ? Reading.bad(Quality.Reason.NOT_WIRED, at) : reading;
  }

  /** The value of {@code point} if it is good, else NaN. */
  public double value(Point point) {
    return reading(point).orNaN();
  }
}
