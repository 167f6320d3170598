package org.bathwarden.simulator.physics;

/**
 * The make-up water, as any mains water not quite free of alkali.
 *
 * @param temperatureC °C
 * @param alkalinityMmolL bicarbonate, mmol/L
 * @param hardnessMmolL calcium and magnesium, mmol/L; falls out as carbonate in the bath
 * @param saltMmolL neutral salts, mmol/L
 */
public record MakeUpWater(
    double temperatureC, double alkalinityMmolL, double hardnessMmolL, double saltMmolL) {

  /** Checks the ranges. */
  public MakeUpWater {
    Check.within("temperature_c", temperatureC, 1, 60);
    Check.within("alkalinity_mmol_l", alkalinityMmolL, 0, 20);
    Check.within("hardness_mmol_l", hardnessMmolL, 0, 10);
    Check.within("salt_mmol_l", saltMmolL, 0, 100);
  }
}
