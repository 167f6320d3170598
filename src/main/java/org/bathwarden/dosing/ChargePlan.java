package org.bathwarden.dosing;

import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.WaterDensity;

/**
 * Volumes of a charge, by additive volumes at 20 °C: V·C* = S·d + Cw·(V − d).
 *
 * @param coldL the whole fresh bath, L at 20 °C; hot it stands at the working level
 * @param concentrateL concentrate in it, L
 * @param firstWaterL water before any concentrate, L at 20 °C
 * @param portionL one portion of concentrate, L
 */
public record ChargePlan(double coldL, double concentrateL, double firstWaterL, double portionL) {

  /** What is left to pour is done below this share of all concentrate. */
  private static final double DONE_SHARE = 0.02;

  /** The plan for {@code sheet}. */
  public static ChargePlan of(TankSheet sheet, ProcedureSettings settings) {
    double cold =
        sheet.geometry().workingL() / WaterDensity.expansionFrom20C(sheet.temperatureSetpointC());
    double water = sheet.water().strengthPct();
    double concentrate =
        cold * (sheet.band().targetPct() - water) / (sheet.concentrateStrengthPct() - water);
    double portions =
        Math.max(
            settings.chargePortions(), Math.ceil(concentrate / settings.chargePortionL() - 1e-9));
    return new ChargePlan(
        cold, concentrate, settings.firstFillShare() * cold, concentrate / portions);
  }

  /** The portion to pour next after {@code pouredL}, L; 0 if all is in. */
  public double nextL(double pouredL) {
    double left = concentrateL - pouredL;
    return left < DONE_SHARE * concentrateL ? 0 : Math.min(portionL, left);
  }

  /** What the level shows for {@code litres20} at {@code temperatureC}, L. */
  public static double shownL(TankSheet sheet, double litres20, double temperatureC) {
    boolean expands =
        sheet.geometry().levelKind() == LevelKind.SURFACE && Double.isFinite(temperatureC);
    return expands ? litres20 * WaterDensity.expansionFrom20C(temperatureC) : litres20;
  }

  /** Strength of {@code litres20} of bath in which {@code concentrateL} are, %. */
  public static double strengthPct(TankSheet sheet, double concentrateL, double litres20) {
    double water = sheet.water().strengthPct();
    return water + (sheet.concentrateStrengthPct() - water) * concentrateL / litres20;
  }
}
