package org.bathwarden.tank;

/**
 * A range of bath temperature, °C.
 *
 * @param lowC lower end, belongs to the window
 * @param highC upper end, belongs to the window
 */
public record TemperatureWindow(double lowC, double highC) {

  /** Whether {@code temperatureC} lies inside; NaN does not. */
  public boolean contains(double temperatureC) {
    return temperatureC >= lowC && temperatureC <= highC;
  }
}
