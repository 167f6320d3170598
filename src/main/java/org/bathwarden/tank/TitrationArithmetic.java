package org.bathwarden.tank;

import java.util.Optional;

/**
 * From a count or a volume of titrant to a concentration with its standard uncertainty. Input that
 * is no number, or that no titration can give, is an empty result.
 */
public final class TitrationArithmetic {

  /** Standard deviation of a uniform distribution of width 1 (JCGM 100:2008, 4.3.7): 1/√12. */
  private static final double UNIFORM = 1 / Math.sqrt(12);

  /** mg/L of CaCO₃ for each mol/L of acid used: 50 g/eq (Standard Methods 2320, ASTM D1067). */
  private static final double CACO3_MG_PER_EQ = 50_000;

  private TitrationArithmetic() {}

  /**
   * Result of a titration.
   *
   * @param asCounted the result as the trade reads it
   * @param corrected the mean of what it can have been
   * @param u standard uncertainty, same unit
   */
  public record Result(double asCounted, double corrected, double u) {}

  /**
   * A titration by drops, %. The drop that completes the change is counted, a further one is not,
   * so the end point lies in the last drop: with a factor from normality the reading is half a drop
   * high on average; one counted on a fresh bath of known strength holds that half drop already.
   *
   * @param drops whole drops, 0 or more
   * @param kit factor and the operator's scatter
   */
  public static Optional<Result> drops(double drops, TitrationKit kit) {
    double factor = kit.pctPerDrop();
    if (!(drops >= 0)
        || drops != Math.rint(drops)
        || Double.isInfinite(drops)
        || !positive(factor)
        || !(kit.operatorDrops() >= 0)) {
      return Optional.empty();
    }
    double counted = drops * factor;
    boolean high = kit.factorFrom() == TitrationKit.FactorFrom.NORMALITY;
    double corrected = high ? Math.max(0, counted - factor / 2) : counted;
    return Optional.of(
        new Result(counted, corrected, factor * Math.hypot(UNIFORM, kit.operatorDrops())));
  }

  /**
   * Factor of a titration by drops, % w/v for each drop: M·N·v/(10·S).
   *
   * @param gramsPerEquivalent equivalent weight of what is titrated, g/mol
   * @param normality of the titrant, mol/L
   * @param dropMl volume of a drop, mL
   * @param sampleMl sample, mL
   */
  public static double pctPerDrop(
      double gramsPerEquivalent, double normality, double dropMl, double sampleMl) {
    return gramsPerEquivalent * normality * dropMl / (10 * sampleMl);
  }

  /**
   * A titration by burette: C = (V_t − V_blank)·N·F/V_s.
   *
   * @param titrantMl V_t, mL
   * @param blankMl V_blank, mL
   * @param normality N, mol/L
   * @param factor F, % · mL sample for each mmol; for % w/v the equivalent weight over 10
   * @param sampleMl V_s, mL
   * @param relative relative standard uncertainty of normality, factor and sample together
   * @param readingUMl standard uncertainty of one reading of the burette, mL; two make a volume,
   *     and two the blank if there is one
   */
  public static Optional<Result> burette(
      double titrantMl,
      double blankMl,
      double normality,
      double factor,
      double sampleMl,
      double relative,
      double readingUMl) {
    if (!(blankMl >= 0)
        || !(titrantMl >= blankMl)
        || Double.isInfinite(titrantMl)
        || !positive(normality)
        || !positive(factor)
        || !positive(sampleMl)
        || !(relative >= 0)
        || !(readingUMl >= 0)) {
      return Optional.empty();
    }
    double each = normality * factor / sampleMl;
    double value = (titrantMl - blankMl) * each;
    double readings = blankMl > 0 ? 4 : 2;
    double u = Math.hypot(value * relative, each * readingUMl * Math.sqrt(readings));
    return Optional.of(new Result(value, value, u));
  }

  /**
   * Alkalinity, mg/L as CaCO₃: A·N·50000/V.
   *
   * @param acidMl A, mL
   * @param normality N, mol/L
   * @param sampleMl V, mL
   */
  public static double alkalinityMgL(double acidMl, double normality, double sampleMl) {
    return acidMl * normality * CACO3_MG_PER_EQ / sampleMl;
  }

  /**
   * Split of the alkalinity, mg/L as CaCO₃ each.
   *
   * @param hydroxide OH
   * @param carbonate CO₃
   * @param hydrogenCarbonate HCO₃
   */
  public record Split(double hydroxide, double carbonate, double hydrogenCarbonate) {}

  /**
   * Split from the alkalinities to pH 8.3 (P) and 4.3 (T), Standard Methods 2320. Holds for
   * carbonate systems; silicates, phosphates and borates titrate too and break it. Empty unless 0 ≤
   * P ≤ T.
   */
  public static Optional<Split> split(double toPh83, double toPh43) {
    if (!(toPh83 >= 0) || !(toPh43 >= toPh83) || Double.isInfinite(toPh43)) {
      return Optional.empty();
    }
    return Optional.of(
        2 * toPh83 >= toPh43
            ? new Split(2 * toPh83 - toPh43, 2 * (toPh43 - toPh83), 0)
            : new Split(0, 2 * toPh83, toPh43 - 2 * toPh83));
  }

  /**
   * Strength of a titrant against a weighed standard, mol/L: 1000·m·P/(M·V), and its standard
   * uncertainty by the sum of relative squares (EURACHEM/CITAC Guide QUAM, appendix A2).
   *
   * @param massG m, g
   * @param massUG its standard uncertainty, g
   * @param purity P, as a share
   * @param purityU its standard uncertainty
   * @param molarMass M, g/mol; certain
   * @param titrantMl V, mL
   * @param titrantUMl its standard uncertainty, mL
   * @param repeatabilityU relative standard uncertainty of repeating the whole
   */
  public static Optional<Result> standardise(
      double massG,
      double massUG,
      double purity,
      double purityU,
      double molarMass,
      double titrantMl,
      double titrantUMl,
      double repeatabilityU) {
    if (!positive(massG)
        || !positive(purity)
        || !positive(molarMass)
        || !positive(titrantMl)
        || !(massUG >= 0 && purityU >= 0 && titrantUMl >= 0 && repeatabilityU >= 0)) {
      return Optional.empty();
    }
    double value = 1000 * massG * purity / (molarMass * titrantMl);
    double weighing = massUG / massG;
    double pure = purityU / purity;
    double volume = titrantUMl / titrantMl;
    double u =
        value
            * Math.sqrt(
                weighing * weighing
                    + pure * pure
                    + volume * volume
                    + repeatabilityU * repeatabilityU);
    return Optional.of(new Result(value, value, u));
  }

  private static boolean positive(double value) {
    return value > 0 && value < Double.POSITIVE_INFINITY;
  }
}
