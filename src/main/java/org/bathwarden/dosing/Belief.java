package org.bathwarden.dosing;

/**
 * What dosing believes of the bath: a joint normal distribution of concentration and volume.
 *
 * @param concentrationPct median concentration, % by volume
 * @param concentrationUPct its standard uncertainty, %
 * @param volume20L volume of the liquid at 20 °C, L
 * @param volumeU20L its standard uncertainty, L
 * @param covariance covariance of concentration and volume, % · L
 * @param deliveredScale what the concentrate line delivers (strength × volume) as a share of what
 *     is ordered; 1 nominal
 * @param deliveredScaleU its standard uncertainty
 */
public record Belief(
    double concentrationPct,
    double concentrationUPct,
    double volume20L,
    double volumeU20L,
    double covariance,
    double deliveredScale,
    double deliveredScaleU) {

  private static final double Z95 = 1.959963984540054;

  /** A belief without any doubt, for arithmetic by hand. */
  public static Belief certain(double concentrationPct, double volume20L) {
    return new Belief(concentrationPct, 0, volume20L, 0, 0, 1, 0);
  }

  /** Width of the central 95 % interval of the concentration, %. */
  public double width95Pct() {
    return 2 * Z95 * concentrationUPct;
  }

  /** Whether every number is one, and none that must be positive is not. */
  public boolean usable() {
    return Double.isFinite(concentrationPct + concentrationUPct + volume20L + volumeU20L)
        && Double.isFinite(covariance + deliveredScale + deliveredScaleU)
        && concentrationPct >= 0
        && concentrationUPct >= 0
        && volume20L > 0
        && volumeU20L >= 0
        && deliveredScale > 0
        && deliveredScaleU >= 0;
  }
}
