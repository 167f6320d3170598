package org.bathwarden.dosing;

import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.WaterDensity;

/**
 * Volumes of a tank as the same liquid at 20 °C, since doses are cold. The geometry's volumes are
 * those of the bath at its setpoint.
 *
 * @param workingL working level, L at 20 °C
 * @param lowLevelL low-level point, L at 20 °C
 * @param minimumL minimum operating level, L at 20 °C
 * @param heaterGuardL heater guard, L at 20 °C
 * @param roomL most that the tank may hold once hot, with a load in it and foam on it, L at 20 °C
 */
record Volumes(
    double workingL, double lowLevelL, double minimumL, double heaterGuardL, double roomL) {

  /** Those of {@code sheet}; a bath hotter than its setpoint has less room. */
  static Volumes of(TankSheet sheet, double temperatureC) {
    Geometry g = sheet.geometry();
    double setpoint = WaterDensity.expansionFrom20C(sheet.temperatureSetpointC());
    double hottest = WaterDensity.expansionFrom20C(hottestC(sheet, temperatureC));
    double free = g.highestL();
    return new Volumes(
        g.workingL() / setpoint,
        g.lowLevelL() / setpoint,
        g.minimumL() / setpoint,
        g.heaterGuardL() / setpoint,
        free / hottest);
  }

  /**
   * The level as liquid at 20 °C, L; NaN if level or, for a surface sensor, temperature is unknown.
   */
  static double at20L(TankSheet sheet, double levelL, double temperatureC) {
    return sheet.geometry().levelKind() == LevelKind.HYDROSTATIC
        ? levelL
        : levelL / WaterDensity.expansionFrom20C(temperatureC);
  }

  private static double hottestC(TankSheet sheet, double temperatureC) {
    return Double.isNaN(temperatureC)
        ? sheet.temperatureSetpointC()
        : Math.max(sheet.temperatureSetpointC(), temperatureC);
  }
}
