package org.bathwarden.simulator.physics;

/**
 * How a tank starts.
 *
 * @param targetPct concentration it should have, %
 * @param startFactor concentration it has, as a share of the target
 * @param levelL hot volume it has, L
 * @param ageDays how long it has been in use: carbonate, soap, salts and oil of that many days
 */
public record Charge(double targetPct, double startFactor, double levelL, double ageDays) {

  /** Checks the ranges. */
  public Charge {
    Check.within("target_pct", targetPct, 0.1, 50);
    Check.within("start_factor", startFactor, 0.05, 3);
    Check.within("level_l", levelL, 1, 200_000);
    Check.within("age_days", ageDays, 0, 120);
  }

  /** The liquid of such a bath of {@code product} in {@code water} at {@code temperatureC}. */
  Liquor liquor(Product product, MakeUpWater water, EndPoint endPoint, double temperatureC) {
    double litres = levelL / Water.expansion(temperatureC);
    double wantedEq = targetPct * startFactor / 100.0 * product.eqL(endPoint) * litres;
    double carbon = Math.min(0.3, 0.012 * ageDays) * wantedEq;
    double soap = Math.min(0.15, 0.005 * ageDays) * wantedEq;
    double unseen = endPoint == EndPoint.FREE ? carbon + soap : 0.2 * soap;
    Liquor aged = new Liquor();
    aged.add(Liquor.CARBON, carbon);
    aged.add(Liquor.SOAP, soap);
    aged.add(Liquor.SALT, Math.min(0.06, 0.002 * ageDays) * litres);
    aged.add(Liquor.OIL, Math.min(0.02, 0.0008 * ageDays) * litres);

    // The water has alkali of its own, or hardness that eats some.
    double waterEq = Mixture.water(water, 1.0).alkalinityEqL(endPoint);
    double neat = product.eqL(endPoint);
    double concentrateL = (wantedEq + unseen - waterEq * litres) / (neat - waterEq);
    aged.add(Mixture.concentrate(product, 1.0, concentrateL));
    aged.add(Mixture.water(water, litres - concentrateL));
    return aged;
  }
}
