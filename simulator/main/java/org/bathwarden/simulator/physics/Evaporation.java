package org.bathwarden.simulator.physics;

/**
 * Evaporation from a still, open water surface by natural convection: Shah, ASHRAE Transactions
 * 120(2), 2014: E = 35 ρw (ρr − ρw)^⅓ (Ww − Wr) in kg/(h m²), with ρ the dry air in a m³ of moist
 * air and W the humidity ratio, w at the water surface and r in the room.
 */
final class Evaporation {

  private static final double PRESSURE_KPA = 101.325;
  private static final double DRY_AIR_KJ_PER_KG_K = 0.287055;

  private Evaporation() {}

  /**
   * Evaporation rate in kg/(h m²), never negative.
   *
   * @param waterC temperature of the surface in °C, below 99
   * @param waterActivity vapour pressure of the bath relative to water, 1 for pure water
   * @param airC room temperature in °C
   * @param humidityPct relative humidity of the room, 0 to 100
   */
  static double kgPerHourM2(double waterC, double waterActivity, double airC, double humidityPct) {
    double atWaterKPa = Math.min(waterActivity * Water.saturationKPa(waterC), 0.98 * PRESSURE_KPA);
    double inRoomKPa = humidityPct / 100.0 * Water.saturationKPa(airC);
    double dryAtWater = dryAir(waterC, atWaterKPa);
    double lift = dryAir(airC, inRoomKPa) - dryAtWater;
    double drive = humidityRatio(atWaterKPa) - humidityRatio(inRoomKPa);
    return lift <= 0.0 || drive <= 0.0 ? 0.0 : 35.0 * dryAtWater * Math.cbrt(lift) * drive;
  }

  private static double dryAir(double temperatureC, double vapourKPa) {
    return (PRESSURE_KPA - vapourKPa) / (DRY_AIR_KJ_PER_KG_K * (temperatureC + 273.15));
  }

  private static double humidityRatio(double vapourKPa) {
    return 0.62198 * vapourKPa / (PRESSURE_KPA - vapourKPa);
  }
}
