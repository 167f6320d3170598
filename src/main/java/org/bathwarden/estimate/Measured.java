package org.bathwarden.estimate;

import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.Entry.Titration;
import org.bathwarden.tank.Method;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.TitrationArithmetic;
import org.bathwarden.tank.TitrationKit;

/**
 * What a titration or another measurement of the concentration says, before it is held against
 * anything: a result with its uncertainty, or an interval of whole drops.
 *
 * @param pct result, corrected for the half drop where the factor needs it, %
 * @param asCountedPct result as the trade reads it, %
 * @param uPct standard uncertainty of the result but for its bias, %
 * @param bias which state of {@link Belief} is the bias that it shares with others of its kind
 * @param blunderShare how often such a result is plain wrong, 0 to 1
 * @param counts whether it stands for the titration that is due
 * @param pctPerDrop concentration of a drop, %; 0 if it is no count of drops
 * @param lowDrops lower end of the last drop's interval
 * @param scatterDrops the operator's scatter, drops
 */
record Measured(
    double pct,
    double asCountedPct,
    double uPct,
    int bias,
    double blunderShare,
    boolean counts,
    double pctPerDrop,
    double lowDrops,
    double scatterDrops) {

  /** Uncertainty of a result that comes without one, as a share (common practice, no source). */
  private static final double RESULT_SHARE = 0.03;

  /** Nothing, if it cannot be used: another end point, no number, a method the sheet lacks. */
  static Optional<Measured> of(TankSheet tank, Titration titration) {
    ChemistrySheet chemistry = tank.chemistry();
    double value = titration.value();
    if (titration.endPoint() != chemistry.endPoint() || !(value >= 0 && value < 1e4)) {
      return Optional.empty();
    }
    return switch (titration.unit()) {
      case DROPS -> drops(chemistry.kit(), value);
      case PCT -> result(tank, titration);
      case READING -> reading(chemistry, titration);
    };
  }

  /** Standard uncertainty of a good titration by the tank's kit, but for its bias, %. */
  static double usualU(TankSheet tank) {
    TitrationKit kit = tank.chemistry().kit();
    double f = kit.pctPerDrop();
    return f > 0 && Double.isFinite(f) ? dropU(kit) : RESULT_SHARE * tank.band().targetPct();
  }

  private static double dropU(TitrationKit kit) {
    double scatter = scatter(kit);
    return kit.pctPerDrop() * Math.sqrt(1 / 12.0 + scatter * scatter);
  }

  private static double scatter(TitrationKit kit) {
    return kit.operatorDrops() >= 0.1 ? Math.min(kit.operatorDrops(), 10) : 0.1;
  }

  private static Optional<Measured> drops(TitrationKit kit, double counted) {
    double factor = kit.pctPerDrop();
    if (!(factor > 0 && Double.isFinite(factor))) {
      return Optional.empty();
    }
    // A counted factor holds the half drop already.
    boolean calibrated = kit.factorFrom() == TitrationKit.FactorFrom.COUNTED;
    double low = counted - (calibrated ? 0.5 : 1);
    return Optional.of(
        new Measured(
            Math.max(0, low + 0.5) * factor,
            counted * factor,
            dropU(kit),
            Belief.TITRATION,
            kit.blunderShare(),
            true,
            factor,
            low,
            scatter(kit)));
  }

  private static Optional<Measured> result(TankSheet tank, Titration titration) {
    double u =
        titration.uPct() > 0 && titration.uPct() < 100
            ? titration.uPct()
            : RESULT_SHARE * tank.band().targetPct();
    double pct = titration.value();
    double blunders = tank.chemistry().kit().blunderShare();
    return pct <= 100
        ? Optional.of(new Measured(pct, pct, u, Belief.TITRATION, blunders, true, 0, 0, 0))
        : Optional.empty();
  }

  private static Optional<Measured> reading(ChemistrySheet chemistry, Titration titration) {
    List<Method> methods = chemistry.methods();
    for (int i = 0; i < methods.size(); i++) {
      Method method = methods.get(i);
      TitrationArithmetic.Result result = method.result(titration.value());
      boolean usable =
          result.u() > 0 && result.corrected() >= 0 && method.valid().holds(result.corrected());
      if (usable && titration.method().filter(method.name()::equals).isPresent()) {
        return Optional.of(
            new Measured(
                result.corrected(),
                result.asCounted(),
                result.u(),
                Belief.STATES + i,
                method.blunderShare(),
                method.counts(),
                0,
                0,
                0));
      }
    }
    return Optional.empty();
  }

  /**
   * Evidence (1/%), mean (%) and variance of what it should read once it is taken in.
   *
   * @param mean what it should read, %
   * @param variance its variance
   * @param unmixed further doubt while an addition mixes in, %
   * @param times how many times it scatters as usual
   */
  Drops seen(double mean, double variance, double unmixed, double times) {
    if (pctPerDrop == 0) {
      double r = times * times * uPct * uPct + unmixed * unmixed;
      double s = variance + r;
      double d = pct - mean;
      double evidence = Math.exp(-d * d / (2 * s)) / Math.sqrt(2 * Math.PI * s);
      return new Drops(evidence, mean + variance / s * d, variance * r / s);
    }
    double f = pctPerDrop;
    double scatter = Math.hypot(times * scatterDrops, unmixed / f);
    Drops drops = Drops.seen(mean / f, variance / (f * f), lowDrops, scatter);
    return new Drops(drops.evidence() / f, drops.mean() * f, drops.variance() * f * f);
  }
}
