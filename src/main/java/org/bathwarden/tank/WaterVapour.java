package org.bathwarden.tank;

/** Vapour over water and what an open surface loses by it. */
public final class WaterVapour {

  private WaterVapour() {}

  /**
   * Saturation pressure in kPa. Source: IAPWS-IF97, region 4.
   *
   * @param temperatureC °C; beyond 0 to 100 °C the nearer end is taken, NaN gives NaN
   */
  public static double saturationKPa(double temperatureC) {
    double t = Math.max(0, Math.min(100, temperatureC)) + 273.15;
    double theta = t - 0.23855557567849 / (t - 650.17534844798);
    double a = (theta + 1167.0521452767) * theta - 724213.16703206;
    double b = (-17.073846940092 * theta + 12020.824702470) * theta - 3232555.0322333;
    double c = (14.915108613530 * theta - 4823.2657361591) * theta + 405113.40542057;
    double root = 2 * c / (-b + Math.sqrt(b * b - 4 * a * c));
    return 1000 * root * root * root * root;
  }

  /**
   * Evaporation from a quiet open surface, kg/(h·m²), never negative. Source: ASHRAE Handbook, HVAC
   * Applications, natatoriums, SI form at 0.1 m/s air speed; a real tank differs by 30 % or more.
   *
   * @param waterC temperature of the surface, °C; NaN gives NaN
   * @param airC temperature of the room, °C
   * @param relativeHumidity of the room, 0 to 1
   */
  public static double evaporationKgPerHM2(double waterC, double airC, double relativeHumidity) {
    double difference = saturationKPa(waterC) - relativeHumidity * saturationKPa(airC);
    double latentKJPerKg = 2501 - 2.43 * waterC;
    return Math.max(0, difference) * (0.089 + 0.0782 * 0.1) / latentKJPerKg * 3600;
  }
}
