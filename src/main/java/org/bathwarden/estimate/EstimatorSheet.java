package org.bathwarden.estimate;

import org.bathwarden.tank.TankSheet;

/**
 * Everything fixed that the filter needs.
 *
 * @param tank the tank
 * @param startPct concentration believed at the start, %
 * @param startUPct its standard uncertainty, %
 * @param priors what is believed of the constants
 * @param curve conductivity of the fresh product, made from the sheet's grid
 */
public record EstimatorSheet(
    TankSheet tank, double startPct, double startUPct, Priors priors, ConductivityCurve curve) {

  /** How many states a belief of this tank has: those of every tank and a bias for each method. */
  int states() {
    return Belief.STATES + tank.chemistry().methods().size();
  }

  /** Makes the curve from the tank's chemistry sheet. */
  public EstimatorSheet(TankSheet tank, double startPct, double startUPct, Priors priors) {
    this(
        tank,
        startPct,
        startUPct,
        priors,
        ConductivityCurve.fit(
            tank.chemistry().grid(), tank.band().targetPct(), tank.temperatureSetpointC()));
  }
}
