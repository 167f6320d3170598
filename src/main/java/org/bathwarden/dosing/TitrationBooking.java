package org.bathwarden.dosing;

import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.estimate.Verdict;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/**
 * What titrations do to dosing. A doubtful high one stops concentrate, and so does one above the
 * high limit whose sample was drawn too early to count; an accepted one ends that, begins the cap
 * since the last titration anew and makes the next one due later. One that came over MQTT, where
 * its author is only a claim, does the first and none of the rest until someone with access to the
 * controller vouches for it.
 */
final class TitrationBooking {

  private static final double ML_PER_L = 1000;

  private final TankSheet sheet;
  private final DosingDraft draft;
  private final DosingInput in;

  TitrationBooking(TankSheet sheet, DosingDraft draft, DosingInput in) {
    this.sheet = sheet;
    this.draft = draft;
    this.in = in;
  }

  void run() {
    Estimate estimate = in.vouched();
    double strength = Math.max(sheet.concentrateStrengthPct(), 1);
    draft.titration =
        draft.titration.passed(
            in.signals().loads(),
            estimate.lossPerLoadL() * estimate.concentrationPct() / strength,
            estimate.evaporationLPerH(),
            in.flowedMl(Product.WATER) / ML_PER_L,
            in.now().steady(),
            in.waiting());
    in.titrations().forEach(this::judge);
  }

  private void judge(TitrationVerdict titration) {
    boolean spoiltHigh =
        titration.verdict() == Verdict.NOT_REPRESENTATIVE
            && titration.resultPct() > sheet.band().highPct();
    if (titration.verdict() == Verdict.DOUBTFUL_HIGH || spoiltHigh) {
      draft.titration = draft.titration.doubted();
    } else if (titration.verdict().accepted() && titration.vouched()) {
      double deficitL = deficitL(titration.resultPct());
      draft.titration = draft.titration.accepted(titration.sampleAt(), deficitL);
      draft.ledger = draft.ledger.titrationAccepted(titration.sampleAt());
    }
  }

  /** Concentrate missing from target, L: V·(C* − C)/(S − C*), additive volumes. */
  private double deficitL(double resultPct) {
    double target = sheet.band().targetPct();
    double volume20L = in.belief(sheet).volume20L();
    double litres = volume20L * (target - resultPct) / (sheet.concentrateStrengthPct() - target);
    return Double.isFinite(litres) ? Math.max(litres, 0) : 0;
  }
}
