package org.bathwarden.simulator.physics;

import java.util.random.RandomGenerator;

/**
 * How far the real plant may stray from its data sheet; each tank draws its own deviations from the
 * seed. All are standard deviations.
 *
 * @param dragOutPct mean drag-out against the site's own figure, %
 * @param evaporationPct evaporation against a still, open surface, %
 * @param lotPct strength of a drum against its data sheet, %
 * @param meterPct scale of the flow meters, %
 * @param levelPct scale and offset of the level transmitter, % of the working volume
 * @param conductivityPct cell constant, %
 * @param noise factor on all sensor noise, 1 is ordinary
 */
public record Unknowns(
    double dragOutPct,
    double evaporationPct,
    double lotPct,
    double meterPct,
    double levelPct,
    double conductivityPct,
    double noise) {

  /** Nothing strays and nothing is noisy. */
  public static final Unknowns NONE = new Unknowns(0, 0, 0, 0, 0, 0, 0);

  /** Checks the ranges. */
  public Unknowns {
    Check.within("drag_out_pct", dragOutPct, 0, 40);
    Check.within("evaporation_pct", evaporationPct, 0, 40);
    Check.within("lot_pct", lotPct, 0, 10);
    Check.within("meter_pct", meterPct, 0, 10);
    Check.within("level_pct", levelPct, 0, 5);
    Check.within("conductivity_pct", conductivityPct, 0, 20);
    Check.within("noise", noise, 0, 5);
  }

  /** A factor about 1 with a spread of {@code pct} %, never beyond 2.5 spreads. */
  static double factor(double pct, RandomGenerator random) {
    double z = random.nextGaussian();
    return 1.0 + pct / 100.0 * Math.max(-2.5, Math.min(2.5, z));
  }
}
