package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.estimate.Forecast;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/**
 * How long a tank can dose by itself if it is used as usual: dosing is lived through in the steps
 * of a forecast, by the same caps, doubt limit and ladder that hold at its time.
 */
final class Authority {

  private static final Product WHAT = Product.CONCENTRATE;
  private static final double Z95 = 1.959963984540054;

  /** Time from one portion to the next beside the mixing wait; judgement. */
  private static final Duration PER_PORTION = Duration.ofMinutes(5);

  private final TankSheet sheet;
  private final DosingLimits limits;
  private final TitrationFacts titration;
  private final boolean reducedNow;
  private final double concentrateLPerH;
  private Ledger ledger;
  private double wantedL;
  private double usedL;
  private Optional<Instant> reducedFrom = Optional.empty();

  /**
   * When it ends.
   *
   * @param at when
   * @param because what ends it, in words; the horizon if nothing else does
   * @param reducedFrom from when portions and caps are reduced before that
   */
  record End(Instant at, String because, Optional<Instant> reducedFrom) {}

  /**
   * A tank as it is at the first step.
   *
   * @param reducedNow whether an interlock leaves reduced caps now
   * @param concentrateLPerH what is used as usual, L/h as ordered
   * @param wantedL concentrate missing from target now, L
   */
  Authority(
      TankSheet sheet,
      DosingLimits limits,
      TitrationFacts titration,
      Ledger ledger,
      boolean reducedNow,
      double concentrateLPerH,
      double wantedL) {
    this.sheet = sheet;
    this.limits = limits;
    this.titration = titration;
    this.ledger = ledger;
    this.reducedNow = reducedNow;
    this.concentrateLPerH = concentrateLPerH;
    this.wantedL = Math.max(0, wantedL);
  }

  End end(List<Forecast.Doubt> ahead) {
    Optional<Instant> due = titration.due(limits).map(TitrationDue::at);
    Instant before = ahead.get(0).at();
    for (Forecast.Doubt doubt : ahead) {
      if (due.isPresent() && doubt.at().isAfter(due.get().plus(Causes.HELD_AFTER))) {
        return end(due.get().plus(Causes.HELD_AFTER), "the titration is then overdue");
      }
      double width = 2 * Z95 * doubt.concentrationUPct() / sheet.band().widthPct();
      if (width > limits.holdWidthShare()) {
        return end(doubt.at(), "the interval is then too wide to dose by");
      }
      boolean late = due.isPresent() && doubt.at().isAfter(due.get().plus(Causes.LATE_AFTER));
      boolean reduced = reducedNow || late || width > limits.askWidthShare();
      if (reduced && reducedFrom.isEmpty()) {
        reducedFrom = Optional.of(doubt.at());
      }
      Optional<String> stopped = live(doubt, Duration.between(before, doubt.at()), reduced);
      if (stopped.isPresent()) {
        return end(doubt.at(), stopped.get());
      }
      before = doubt.at();
    }
    return end(before, "nothing ends it before");
  }

  private End end(Instant at, String because) {
    return new End(at, because, reducedFrom.filter(from -> from.isBefore(at)));
  }

  /** One step: what is wanted is dosed as far as it may be; what stops it for good, if anything. */
  private Optional<String> live(Forecast.Doubt doubt, Duration time, boolean reduced) {
    double usedNow = concentrateLPerH * time.toMillis() / 3.6e6;
    wantedL += usedNow;
    usedL += usedNow;
    double smallest = limits.concentrate().smallestPortionL();
    if (wantedL < smallest) {
      return Optional.empty();
    }
    Caps caps = new Caps(limits, lived(), ledger, doubt.at());
    if (caps.longUsed(WHAT)) {
      boolean since =
          ledger.sinceTitrationL(WHAT) + smallest > limits.concentrate().sinceTitrationL();
      return Optional.of(
          since
              ? "the cap since the last accepted titration is then used up"
              : "the 8 h cap is then used up");
    }
    double share = reduced ? limits.reducedShare() : 1;
    Caps.Left left = caps.left(WHAT, share);
    if (left.litres() < smallest) {
      boolean passes = caps.roomAt(WHAT, share, smallest).isPresent();
      return passes ? Optional.empty() : Optional.of("the " + left.by() + " is then used up");
    }
    if (DoubtLimit.probabilityAbove(
            belief(doubt),
            new Unsettled(0, 0),
            sheet.band().highPct(),
            sheet.concentrateStrengthPct(),
            smallest)
        > limits.alpha()) {
      return Optional.of("a portion could then lift the bath above the high limit");
    }
    long portions = Math.max(1, time.toMillis() / limits.mixingWait().plus(PER_PORTION).toMillis());
    double most = portions * share * limits.concentrate().portionL();
    double litres = Math.min(Math.min(wantedL, most), left.litres());
    ledger = ledger.book(new Flow(WHAT, litres, doubt.at(), Flow.Origin.ORDER));
    wantedL -= litres;
    return Optional.empty();
  }

  /** What the log will say: what is used is what the balance expects to be lost. */
  private TitrationFacts lived() {
    return new TitrationFacts(
        titration.sampledAt(),
        titration.doubtfulHigh(),
        titration.deficitL(),
        titration.loads(),
        titration.expectedLossL() + usedL,
        titration.calls());
  }

  private Belief belief(Forecast.Doubt doubt) {
    double target = sheet.band().targetPct();
    double missing = wantedL * (sheet.concentrateStrengthPct() - target) / doubt.volume20L();
    return new Belief(
        Math.max(0, target - missing),
        doubt.concentrationUPct(),
        doubt.volume20L(),
        doubt.volumeU20L(),
        doubt.covarianceCV(),
        1,
        DosingInput.DELIVERED_U);
  }
}
