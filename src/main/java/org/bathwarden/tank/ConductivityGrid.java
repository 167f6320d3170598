package org.bathwarden.tank;

import java.util.List;

/**
 * Conductivity of fresh solutions of one product against concentration and temperature, as measured
 * at commissioning or given by the product sheet.
 *
 * @param points the measured solutions
 */
public record ConductivityGrid(List<Point> points) {

  /** Copies the list. */
  public ConductivityGrid {
    points = List.copyOf(points);
  }

  /**
   * One measured solution.
   *
   * @param concentrationPct % by volume
   * @param temperatureC °C
   * @param conductivityMsCm raw conductivity at that temperature, mS/cm
   */
  public record Point(double concentrationPct, double temperatureC, double conductivityMsCm) {}
}
