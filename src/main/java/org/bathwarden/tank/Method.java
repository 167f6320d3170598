package org.bathwarden.tank;

import java.util.OptionalDouble;

/**
 * A way to measure the concentration besides the sheet's titration by drops: burette,
 * refractometer, photometric kit, outside laboratory. Its result is {@code pctPerUnit × (reading −
 * blank)}.
 *
 * @param name what people call it, key of the sheet
 * @param endPoint which alkalinity it measures; a method that measures none (a refractometer) is
 *     calibrated against the one that the sheet's concentrations refer to
 * @param unit unit of a reading, as people read it
 * @param pctPerUnit concentration a unit stands for, %
 * @param blank reading of the make-up water
 * @param readingU standard uncertainty of one reading, in its unit
 * @param biasShare standard uncertainty of what all its results have in common (titrant, sample
 *     volume, calibration), as a share
 * @param soilPctPerDay how far the soil of an ageing bath may come to read as product, standard
 *     uncertainty of the growth, % a day; 0 for methods that see the product alone
 * @param blunderShare share of its results that are plain wrong, 0 to 1
 * @param valid results that it can give, %
 * @param longestBathDays oldest bath that it is valid for, days, if there is a limit
 * @param counts whether an accepted result of it stands for the titration that is due; if not, it
 *     only moves the estimate
 */
public record Method(
    String name,
    EndPoint endPoint,
    String unit,
    double pctPerUnit,
    double blank,
    double readingU,
    double biasShare,
    double soilPctPerDay,
    double blunderShare,
    Range valid,
    OptionalDouble longestBathDays,
    boolean counts) {

  /**
   * Results that a method can give, %.
   *
   * @param lowPct lowest
   * @param highPct highest
   */
  public record Range(double lowPct, double highPct) {

    /** Whether {@code pct} is within; no number is not. */
    public boolean holds(double pct) {
      return pct >= lowPct && pct <= highPct;
    }
  }

  /** The result of a reading, %, with its standard uncertainty but for what all have in common. */
  public TitrationArithmetic.Result result(double reading) {
    double pct = pctPerUnit * (reading - blank);
    return new TitrationArithmetic.Result(pct, pct, pctPerUnit * readingU);
  }
}
