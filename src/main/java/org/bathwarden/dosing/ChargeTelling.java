package org.bathwarden.dosing;

import static org.bathwarden.dosing.Needs.say;

import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;

/** The steps by which a bath is made up, told by a person. Lives within one call. */
final class ChargeTelling {

  /** The first water may be off by this share of the cold volume; judgement. */
  private static final double FILL_SHARE = 0.10;

  /** The cold mark may be missed by this share of the cold volume; judgement. */
  private static final double MARK_SHARE = 0.02;

  /** A portion is at most so many times what is proposed; judgement. */
  private static final double MOST_OF_PORTION = 2;

  /** Standard uncertainty of a charge by volumes, as a share; judgement. */
  private static final double CHARGE_SHARE = 0.05;

  private final ProcedureScene scene;

  ChargeTelling(ProcedureScene scene) {
    this.scene = scene;
  }

  Optional<String> firstWater(Entry.ProcedureStepDone e) {
    ChargePlan plan = ChargePlan.of(scene.sheet(), scene.settings().procedures());
    double offL = scene.sight().level20L() - plan.firstWaterL();
    if (!scene.sight().drainClosed()) {
      return Optional.of("the drain is not closed: close it first");
    }
    if (Double.isNaN(offL)) {
      return Optional.of(ProcedureScene.LEVEL_UNKNOWN);
    }
    if (!(Math.abs(offL) <= FILL_SHARE * plan.coldL())) {
      return Optional.of(
          say(
              "the level shows %.0f L; water to about %.0f L first",
              scene.sight().levelL(),
              ChargePlan.shownL(scene.sheet(), plan.firstWaterL(), scene.sight().temperatureC())));
    }
    scene.done(e, scene.open(), ProcedureStep.CIRCULATE, say("%.0f L", scene.sight().levelL()));
    return Optional.empty();
  }

  Optional<String> portion(Entry.ProcedureStepDone e) {
    double litres = e.told().litres().orElse(0);
    double mostL =
        MOST_OF_PORTION * ChargePlan.of(scene.sheet(), scene.settings().procedures()).portionL();
    if (!(litres > 0)) {
      return Optional.of("it needs the litres poured");
    }
    if (!scene.draft().drum.known()) {
      return Optional.of("what is in the drum is not known: drum_change first");
    }
    if (litres > mostL) {
      return Optional.of(
          say(
              "%.1f L is no portion: look at the number; if so much was poured, tell %.1f L and the"
                  + " rest as another",
              litres, mostL));
    }
    Optional<String> otherLot =
        e.told()
            .lot()
            .filter(lot -> !scene.draft().drum.lot().map(lot::equalsIgnoreCase).orElse(true));
    if (otherLot.isPresent()) {
      return Optional.of(
          say(
              "%s is told as the lot, and the drum is of %s: look at the label; another drum is told by"
                  + " drum_change first",
              otherLot.get(), scene.draft().drum.lot().orElse("")));
    }
    double byHandL = Math.max(0, litres - scene.open().charging().meteredL());
    scene.draft().drum = scene.draft().drum.used(byHandL);
    Charging.Portion poured =
        new Charging.Portion(
            litres, e.stamp().author(), e.told().lot(), PortionCheck.Verdict.MIXING);
    scene.done(
        e,
        scene.open().with(scene.open().charging().poured(poured)),
        ProcedureStep.MIX,
        say("%.1f L of concentrate%s", litres, warm()));
    return Optional.empty();
  }

  /** It was poured, whatever it was poured into; but it is said. */
  private String warm() {
    boolean warm = scene.sight().temperatureC() > scene.sheet().chemistry().mixingBelowC();
    String into =
        warm
            ? say(" into %.1f °C, above the mixing temperature", scene.sight().temperatureC())
            : "";
    return scene.sight().circulating() ? into : into + ", without circulation";
  }

  Optional<String> checked(Entry.ProcedureStepDone e) {
    if (e.told().litres().isEmpty()) {
      return Optional.of("it needs the litres that are really in, 0 if none");
    }
    if (scene.draft().interlocks.latched().contains(Cause.RESPONSE_MISMATCH)) {
      return Optional.of("the interlock response_mismatch is latched: trip_reset first");
    }
    double litres = e.told().litres().getAsDouble();
    Charging.Portion last = scene.open().charging().last();
    Charging settled = scene.open().charging().judged(litres, last.shown());
    scene.done(
        e,
        scene.open().with(settled),
        scene.draft().afterPortion(scene.settings(), scene.sheet(), settled),
        say("%.1f L in place of %.1f L", litres, last.litres()));
    return Optional.empty();
  }

  Optional<String> coldMark(Entry.ProcedureStepDone e) {
    ChargePlan plan = ChargePlan.of(scene.sheet(), scene.settings().procedures());
    Volumes volumes = Volumes.of(scene.sheet(), scene.sight().temperatureC());
    double level = scene.sight().level20L();
    if (Double.isNaN(level)) {
      return Optional.of(ProcedureScene.LEVEL_UNKNOWN);
    }
    if (!(level >= (1 - MARK_SHARE) * plan.coldL() && level <= volumes.roomL())) {
      return Optional.of(
          say(
              "the level shows %.0f L; the cold mark is %.0f L at this temperature%s",
              scene.sight().levelL(),
              ChargePlan.shownL(scene.sheet(), plan.coldL(), scene.sight().temperatureC()),
              level > volumes.roomL() ? ", and there would be no room for it hot" : ""));
    }
    double pct =
        ChargePlan.strengthPct(scene.sheet(), scene.open().charging().concentrateL(), level);
    Optional<String> wrong = scene.draft().pass(BathState.WARMING, e.role(), scene.facts());
    if (wrong.isEmpty()) {
      scene.draft().bath = BathStates.charged(scene.draft().bath, scene.steady());
      scene.draft().chargedAt = Optional.of(scene.in().now().wall());
      scene.draft().procedures =
          scene
              .draft()
              .procedures
              .owing(new Entry.Charge(scene.draft().owed(e.stamp()), pct, CHARGE_SHARE * pct));
      scene.done(
          e,
          scene.open(),
          ProcedureStep.HEAT,
          say(
              "%.1f L of concentrate in %.0f L at 20 °C: %.2f %% by volumes",
              scene.open().charging().concentrateL(), level, pct));
    }
    return wrong;
  }

  Optional<String> release(Entry.ProcedureStepDone e) {
    if (!scene.sight().circulating()) {
      return Optional.of("circulation is off");
    }
    if (!scene.sheet().chemistry().useC().contains(scene.sight().temperatureC())) {
      return Optional.of(
          say(
              "%.1f °C is not within %.0f to %.0f °C",
              scene.sight().temperatureC(),
              scene.sheet().chemistry().useC().lowC(),
              scene.sheet().chemistry().useC().highC()));
    }
    Optional<String> wrong = scene.draft().pass(BathState.IN_USE, e.role(), scene.facts());
    if (wrong.isEmpty()) {
      scene.ended(e, say("released at %.2f %%", scene.in().vouched().concentrationPct()));
    }
    return wrong;
  }
}
