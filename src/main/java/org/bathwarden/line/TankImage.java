package org.bathwarden.line;

import java.time.Instant;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.TankId;

/**
 * What one read of one tank brought. Immutable.
 *
 * @param tank which tank
 * @param at when it was read, on the steady clock
 * @param link state of the connection
 * @param words the PLC's words; absent unless every one of them was read Good
 * @param points the measured values, every point present
 */
public record TankImage(
    TankId tank, Instant at, Link link, Optional<PlcWords> words, Map<Point, Reading> points) {

  /** Copies the map. */
  public TankImage {
    points = Map.copyOf(points);
  }
}
