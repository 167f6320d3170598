package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.dosing.Caps.Left;
import org.bathwarden.tank.Product;

/** The next portion of make-up water. */
final class WaterPortion {

  private static final Product WHAT = Product.WATER;

  private final NeedInput in;
  private final Volumes volumes;
  private final double level20L;
  private final TopUpInput question;
  private final TopUp.Add plan;

  private WaterPortion(
      NeedInput in, Volumes volumes, double level20L, TopUpInput question, TopUp.Add plan) {
    this.in = in;
    this.volumes = volumes;
    this.level20L = level20L;
    this.question = question;
    this.plan = plan;
  }

  static Decision of(
      NeedInput in, Volumes volumes, double level20L, TopUpInput question, TopUp.Add plan) {
    return new WaterPortion(in, volumes, level20L, question, plan).decide();
  }

  private Decision decide() {
    double smallest = in.limits().water().smallestPortionL();
    if (plan.waterL() < smallest) {
      return new Decision.Nothing(
          Needs.say("wants %.1f L of water, below a portion", plan.waterL()), Optional.empty());
    }
    Permission permission = in.verdict().of(WHAT);
    if (!permission.allowed()) {
      return new Decision.Blocked(WHAT, permission.blockedBy(), plan.reason());
    }
    if (Double.isNaN(level20L)) {
      return new Decision.Wait(WHAT, "no settled level", Optional.empty(), false);
    }
    Instant now = in.now().steady();
    Optional<Instant> mixed =
        in.ledger().lastFlowAt(WHAT).map(at -> at.plus(in.limits().mixingWait()));
    if (mixed.isPresent() && mixed.get().isAfter(now)) {
      return new Decision.Wait(WHAT, "the last water is not mixed yet", mixed, false);
    }
    Caps caps = new Caps(in.limits(), in.titration(), in.ledger(), now);
    Left limited =
        restricted(permission)
            .smaller(new Left(in.limits().water().portionL(), "portion"))
            .smaller(new Left(coldLimitL(), "cooling of the bath"))
            .smaller(new Left(roomL(), "room"))
            .smaller(new Left(dilutionL(), "low limit"))
            .smaller(caps.left(WHAT, 1));
    if (limited.litres() < smallest) {
      Optional<Instant> until = caps.roomAt(WHAT, 1, smallest);
      return new Decision.Wait(
          WHAT,
          Needs.say(
              "%s leaves %.1f L, below a portion", limited.by(), Math.max(0, limited.litres())),
          limited.by().endsWith("cap") ? until : Optional.empty(),
          permission.restricted(Restriction.EVAPORATION_SHARE));
    }
    long volumeMl = (long) Math.floor(limited.litres() * 1000);
    return new Decision.Dose(
        WHAT,
        volumeMl,
        Needs.say(
            "%s; %.1f L of %.1f L, limited by %s",
            plan.reason(), limited.litres(), plan.waterL(), limited.by()),
        TopUps.strengthAfterPct(question, 0, volumeMl / 1000.0));
  }

  private Left restricted(Permission permission) {
    Left left = new Left(plan.waterL(), "need");
    if (permission.restricted(Restriction.TO_WORKING_LEVEL)) {
      left = left.smaller(new Left(volumes.workingL() - question.volumeL(), "working level"));
    }
    double toLowLevelL = volumes.lowLevelL() - question.volumeL();
    if (permission.restricted(Restriction.EVAPORATION_SHARE)) {
      double evaporated = Double.isNaN(in.evaporatedL()) ? 0 : in.evaporatedL();
      left = left.smaller(new Left(Math.max(evaporated, toLowLevelL), "evaporation share"));
    }
    if (permission.restricted(Restriction.TO_LOW_LEVEL)) {
      left = left.smaller(new Left(toLowLevelL, "low-level point"));
    }
    return left;
  }

  private double coldLimitL() {
    double temperatureC =
        Double.isNaN(in.temperatureC()) ? in.sheet().temperatureSetpointC() : in.temperatureC();
    return TopUps.coldWaterLimitL(
        question.volumeL(),
        temperatureC,
        in.sheet().water().temperatureC(),
        in.limits().waterCoolingK());
  }

  /** Water that leaves the median at the low limit; the low-level point is held all the same. */
  private double dilutionL() {
    double lowPct = in.sheet().band().lowPct();
    double margin = question.concentrationPct() - lowPct;
    double diluting = question.volumeL() * margin / (lowPct - question.waterPct());
    return Math.max(diluting, volumes.lowLevelL() - question.volumeL());
  }

  private double roomL() {
    return volumes.roomL() - question.volumeL();
  }
}
