package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.dosing.Caps.Left;
import org.bathwarden.tank.Product;

/** The next portion of concentrate. */
final class ConcentratePortion {

  private static final Product WHAT = Product.CONCENTRATE;
  // A pump that seems to deliver less than this is a fault to be found, not to be made up for.
  private static final double LEAST_SCALE = 0.8;

  private final NeedInput in;
  private final TopUpInput question;
  private final TopUp.Add plan;
  private final Caps caps;
  private final double share;

  private ConcentratePortion(NeedInput in, TopUpInput question, TopUp.Add plan) {
    this.in = in;
    this.question = question;
    this.plan = plan;
    this.caps = new Caps(in.limits(), in.titration(), in.ledger(), in.now().steady());
    this.share = reduced(in) ? in.limits().reducedShare() : 1;
  }

  static Decision of(NeedInput in, TopUpInput question, TopUp.Add plan) {
    return new ConcentratePortion(in, question, plan).decide();
  }

  private Decision decide() {
    double wanted = plan.concentrateL() / Math.max(LEAST_SCALE, in.belief().deliveredScale());
    double smallest = in.limits().concentrate().smallestPortionL();
    if (wanted < smallest) {
      return new Decision.Nothing(
          Needs.say("wants %.2f L of concentrate, below a portion", wanted), Optional.empty());
    }
    Permission permission = in.verdict().of(WHAT);
    if (!permission.allowed()) {
      return new Decision.Blocked(WHAT, permission.blockedBy(), plan.reason());
    }
    if (tooWide(in.limits().holdWidthShare())) {
      return waitForTitration("the interval is too wide: concentrate is held");
    }
    Optional<Instant> mixed = in.ledger().lastFlowAt().map(at -> at.plus(in.limits().mixingWait()));
    if (mixed.isPresent() && mixed.get().isAfter(in.now().steady())) {
      return new Decision.Wait(WHAT, "the last portion is not mixed yet", mixed, false);
    }
    if (onProbeAlone() && in.ledger().sinceTitrationL(WHAT) >= smallest) {
      return waitForTitration(
          "the probe alone shows the need, without loads or a titration behind it");
    }
    return dose(wanted, smallest);
  }

  private Decision dose(double wanted, double smallest) {
    double toTargetL =
        DoubtLimit.toTargetL(
            in.belief(), in.unsettled(), in.sheet().band(), in.sheet().concentrateStrengthPct());
    if (toTargetL < smallest) {
      return new Decision.Nothing("strength is on target at this level", Optional.empty());
    }
    Left left =
        new Left(wanted, "need")
            .smaller(new Left(toTargetL, "target at this level"))
            .smaller(new Left(question.maximumL() - question.volumeL(), "room"))
            .smaller(portion())
            .smaller(caps.left(WHAT, share));
    double doubtL =
        DoubtLimit.largestDoseL(
            in.belief(),
            in.unsettled(),
            in.sheet().band(),
            in.sheet().concentrateStrengthPct(),
            in.limits().alpha());
    Left limited = left.smaller(new Left(doubtL, "doubt"));
    if (limited.litres() < smallest) {
      return tooLittle(limited, smallest);
    }
    long volumeMl = (long) Math.floor(limited.litres() * 1000);
    double delivered = volumeMl / 1000.0 * in.belief().deliveredScale();
    double after = TopUps.strengthAfterPct(question, delivered, 0);
    return new Decision.Dose(
        WHAT,
        volumeMl,
        Needs.say(
            "%s; %.2f L of %.2f L, limited by %s%s",
            plan.reason(),
            limited.litres(),
            wanted,
            limited.by(),
            share < 1 ? ", reduced: a titration is wanted" : ""),
        after);
  }

  private Decision tooLittle(Left limited, double smallest) {
    Optional<Instant> until = caps.roomAt(WHAT, share, smallest);
    boolean byTime = limited.by().equals("hourly cap") || limited.by().equals("8 h cap");
    return new Decision.Wait(
        WHAT,
        Needs.say("%s leaves %.2f L, below a portion", limited.by(), Math.max(0, limited.litres())),
        byTime ? until : Optional.empty(),
        !byTime);
  }

  private Left portion() {
    double portion = share * in.limits().concentrate().portionL();
    Left usual = new Left(portion, share < 1 ? "reduced portion" : "portion");
    return in.newLot()
        ? new Left(in.limits().newLotShare() * portion, "first portion of a new lot")
        : usual;
  }

  private Decision waitForTitration(String why) {
    return new Decision.Wait(WHAT, why, Optional.empty(), true);
  }

  private boolean onProbeAlone() {
    return !(in.titration().loads() > 0) && !(in.titration().deficitL() > 0);
  }

  private boolean tooWide(double ofBand) {
    return in.belief().width95Pct() > ofBand * in.sheet().band().widthPct();
  }

  private static boolean reduced(NeedInput in) {
    return in.verdict().of(WHAT).restricted(Restriction.REDUCED_CAPS)
        || in.belief().width95Pct() > in.limits().askWidthShare() * in.sheet().band().widthPct();
  }
}
