package org.bathwarden.simulator.physics;

/**
 * The air over the tanks.
 *
 * @param temperatureC mean over the day, °C
 * @param swingC half the difference between the warm afternoon and the cold night, °C
 * @param humidityPct mean relative humidity, %
 */
public record RoomAir(double temperatureC, double swingC, double humidityPct) {

  /** Checks the ranges. */
  public RoomAir {
    Check.within("temperature_c", temperatureC, 0, 40);
    Check.within("swing_c", swingC, 0, 10);
    Check.within("humidity_pct", humidityPct, 10, 90);
  }
}
