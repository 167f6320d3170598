package org.bathwarden.dosing;

import static org.bathwarden.dosing.Needs.say;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.ProcedureStepDone.Told;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.TankSheet;

/** A person tells that the step that is awaited is done. Lives within one call. */
final class ProcedureTelling {

  /** The first water may be off by this share of the cold volume; judgement. */
  private static final double FILL_SHARE = 0.10;

  /** The cold mark may be missed by this share of the cold volume; judgement. */
  private static final double MARK_SHARE = 0.02;

  /** What was drained may differ from what the level lost by so much; judgement. */
  private static final double DRAINED_SHARE = 0.25;

  private static final double LEVEL_SHARE = 0.03;

  /** A portion is at most so many times what is proposed; judgement. */
  private static final double MOST_OF_PORTION = 2;

  /** Standard uncertainty of a charge by volumes, as a share; judgement. */
  private static final double CHARGE_SHARE = 0.05;

  private static final String LEVEL_UNKNOWN =
      "the level is not known now: wait until it reads steadily; if it stays so, see to the sensor";

  private final DosingSettings settings;
  private final TankSheet sheet;
  private final DosingDraft draft;
  private final DosingInput in;
  private final TankSight sight;
  private final Procedure open;
  private final Instant steady;

  ProcedureTelling(
      DosingSettings settings,
      TankSheet sheet,
      DosingDraft draft,
      DosingInput in,
      TankSight sight,
      Procedure open) {
    this.settings = settings;
    this.sheet = sheet;
    this.draft = draft;
    this.in = in;
    this.sight = sight;
    this.open = open;
    this.steady = in.now().steady();
  }

  /** What is wrong with it; empty if it is taken. */
  Optional<String> take(Entry.ProcedureStepDone e) {
    String awaited = open.step().key();
    boolean measuredByHand = open.step() == ProcedureStep.COOL;
    if (!e.step().equals(awaited)) {
      return Optional.of("the step awaited is " + awaited + ", not " + e.step());
    }
    if (!open.step().told() && !measuredByHand) {
      return Optional.of(awaited + " is not told: it ends once it is seen");
    }
    Role least = least();
    if (e.role().compareTo(least) < 0) {
      return Optional.of(awaited + " is a " + BathTransitions.words(least) + "'s to tell");
    }
    return switch (open.step()) {
      case RUN_OUT -> runOut(e);
      case COOL -> cool(e);
      case PERMIT -> permit(e);
      case DRAIN -> drain(e);
      case CLEAN -> clean(e);
      case FIRST_WATER -> firstWater(e);
      case PORTION -> portion(e);
      case CHECK_PORTION -> checked(e);
      case COLD_MARK -> coldMark(e);
      case RELEASE -> release(e);
      case CIRCULATE, MIX, HEAT, TITRATE -> Optional.of("it ends once it is seen");
    };
  }

  /** Least role that may tell the step that is awaited. */
  private Role least() {
    return least(settings, sheet, open, in.vouched().concentrationPct());
  }

  static Role least(DosingSettings settings, TankSheet sheet, Procedure open, double pct) {
    return switch (open.step()) {
      case COOL, PERMIT -> settings.procedures().drainRole();
      case CHECK_PORTION ->
          open.charging().last().shown() == PortionCheck.Verdict.OTHER_PRODUCT
              ? Role.CHEMIST
              : Role.OPERATOR;
      case RELEASE ->
          pct >= sheet.band().lowPct() && pct <= sheet.band().highPct()
              ? Role.OPERATOR
              : Role.CHEMIST;
      default -> Role.OPERATOR;
    };
  }

  private void done(Entry.ProcedureStepDone e, Procedure now, ProcedureStep next, String words) {
    draft.moved(open, "done", words, e.stamp().author());
    draft.procedures = draft.procedures.with(Optional.of(now.at(next, steady)));
  }

  private BathTransitions.Facts facts() {
    return draft.transition(settings, sheet, sight, true);
  }

  private Optional<String> runOut(Entry.ProcedureStepDone e) {
    Optional<String> wrong = draft.pass(BathState.STOOD_DOWN, e.role(), facts());
    if (wrong.isEmpty()) {
      done(e, open, ProcedureStep.COOL, "");
    }
    return wrong;
  }

  private Optional<String> cool(Entry.ProcedureStepDone e) {
    if (Double.isFinite(sight.temperatureC())) {
      return Optional.of("the probe measures the temperature: the step ends once it is seen");
    }
    double measuredC = e.told().temperatureC().orElse(Double.NaN);
    return tooHot(measuredC)
        .or(
            () -> {
              done(e, open, ProcedureStep.PERMIT, say("%.1f °C by hand", measuredC));
              return Optional.empty();
            });
  }

  private Optional<String> tooHot(double temperatureC) {
    double limitC = settings.procedures().drainBelowC();
    if (Double.isNaN(temperatureC)) {
      return Optional.of("the probe shows no temperature: measure it and tell temperature_c");
    }
    return temperatureC > limitC
        ? Optional.of(
            say("%.1f °C is above the site's limit of %.1f °C: let it cool", temperatureC, limitC))
        : Optional.empty();
  }

  private Optional<String> permit(Entry.ProcedureStepDone e) {
    Told told = e.told();
    if (told.route().isEmpty() || told.document().isEmpty()) {
      return Optional.of("it needs the waste route (route) and the number of its document");
    }
    if (!Double.isFinite(sight.levelL())) {
      return Optional.of(LEVEL_UNKNOWN);
    }
    double temperatureC =
        Double.isFinite(sight.temperatureC())
            ? sight.temperatureC()
            : told.temperatureC().orElse(Double.NaN);
    Optional<String> wrong =
        tooHot(temperatureC).or(() -> draft.pass(BathState.DRAINING, e.role(), facts()));
    if (wrong.isEmpty()) {
      Procedure.Waste waste =
          new Procedure.Waste(
              told.route().get(), told.document().get(), temperatureC, e.stamp().author());
      String words = say("%s, document %s, %.1f °C", waste.route(), waste.document(), temperatureC);
      done(e, open.draining(waste, sight.levelL()), ProcedureStep.DRAIN, words);
    }
    return wrong;
  }

  private Optional<String> drain(Entry.ProcedureStepDone e) {
    if (e.told().litres().isEmpty()) {
      return Optional.of("it needs the litres drained");
    }
    if (!Double.isFinite(sight.levelL())) {
      return Optional.of(LEVEL_UNKNOWN);
    }
    double litres = e.told().litres().getAsDouble();
    double fellL = open.fullL() - sight.levelL();
    double beside = DRAINED_SHARE * litres + LEVEL_SHARE * sheet.geometry().workingL();
    if (Math.abs(fellL - litres) > beside) {
      return Optional.of(
          say(
              "%.0f L told, and the level fell by %.0f L: look at the tank",
              litres, Math.max(fellL, 0)));
    }
    boolean some = sight.levelL() > settings.procedures().emptyL(sheet);
    if (some && open.kind() == ProcedureKind.CHANGE_OUT) {
      return Optional.of(
          say(
              "the level shows %.0f L: a change-out closes only over an empty tank; drain on, or"
                  + " close the drain and procedure_abandon",
              sight.levelL()));
    }
    Optional<String> wrong =
        draft.pass(some ? BathState.STOOD_DOWN : BathState.EMPTY, e.role(), facts());
    if (wrong.isEmpty()) {
      Procedure.Waste waste = open.waste().orElseThrow();
      String words =
          say(
              "%.0f L to %s, document %s%s",
              litres, waste.route(), waste.document(), some ? ", the rest stays" : "");
      if (some) {
        draft.procedures =
            draft.procedures.owing(new Entry.Removal(draft.owed(e.stamp()), litres, words));
      }
      if (open.kind() == ProcedureKind.CHANGE_OUT) {
        done(e, open, ProcedureStep.CLEAN, words);
      } else {
        ended(e, words);
      }
    }
    return wrong;
  }

  private void ended(Entry.ProcedureStepDone e, String words) {
    draft.moved(open, "ended", words, e.stamp().author());
    draft.procedures = draft.procedures.with(Optional.empty());
  }

  private Optional<String> clean(Entry.ProcedureStepDone e) {
    if (!sight.drainClosed()) {
      return Optional.of("the drain is not closed: close it first");
    }
    Optional<String> wrong = draft.pass(BathState.CHARGING, e.role(), facts());
    if (wrong.isEmpty()) {
      done(e, open, ProcedureStep.FIRST_WATER, "");
    }
    return wrong;
  }

  private Optional<String> firstWater(Entry.ProcedureStepDone e) {
    ChargePlan plan = ChargePlan.of(sheet, settings.procedures());
    double offL = sight.level20L() - plan.firstWaterL();
    if (!sight.drainClosed()) {
      return Optional.of("the drain is not closed: close it first");
    }
    if (Double.isNaN(offL)) {
      return Optional.of(LEVEL_UNKNOWN);
    }
    if (!(Math.abs(offL) <= FILL_SHARE * plan.coldL())) {
      return Optional.of(
          say(
              "the level shows %.0f L; water to about %.0f L first",
              sight.levelL(), ChargePlan.shownL(sheet, plan.firstWaterL(), sight.temperatureC())));
    }
    done(e, open, ProcedureStep.CIRCULATE, say("%.0f L", sight.levelL()));
    return Optional.empty();
  }

  private Optional<String> portion(Entry.ProcedureStepDone e) {
    double litres = e.told().litres().orElse(0);
    double mostL = MOST_OF_PORTION * ChargePlan.of(sheet, settings.procedures()).portionL();
    if (!(litres > 0)) {
      return Optional.of("it needs the litres poured");
    }
    if (!draft.drum.known()) {
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
        e.told().lot().filter(lot -> !draft.drum.lot().map(lot::equalsIgnoreCase).orElse(true));
    if (otherLot.isPresent()) {
      return Optional.of(
          say(
              "%s is told as the lot, and the drum is of %s: look at the label; another drum is told by"
                  + " drum_change first",
              otherLot.get(), draft.drum.lot().orElse("")));
    }
    double byHandL = Math.max(0, litres - open.charging().meteredL());
    draft.drum = draft.drum.used(byHandL);
    Charging.Portion poured =
        new Charging.Portion(
            litres, e.stamp().author(), e.told().lot(), PortionCheck.Verdict.MIXING);
    done(
        e,
        open.with(open.charging().poured(poured)),
        ProcedureStep.MIX,
        say("%.1f L of concentrate%s", litres, warm()));
    return Optional.empty();
  }

  /** It was poured, whatever it was poured into; but it is said. */
  private String warm() {
    boolean warm = sight.temperatureC() > sheet.chemistry().mixingBelowC();
    String into =
        warm ? say(" into %.1f °C, above the mixing temperature", sight.temperatureC()) : "";
    return sight.circulating() ? into : into + ", without circulation";
  }

  private Optional<String> checked(Entry.ProcedureStepDone e) {
    if (e.told().litres().isEmpty()) {
      return Optional.of("it needs the litres that are really in, 0 if none");
    }
    if (draft.interlocks.latched().contains(Cause.RESPONSE_MISMATCH)) {
      return Optional.of("the interlock response_mismatch is latched: trip_reset first");
    }
    double litres = e.told().litres().getAsDouble();
    Charging.Portion last = open.charging().last();
    Charging settled = open.charging().judged(litres, last.shown());
    done(
        e,
        open.with(settled),
        draft.afterPortion(settings, sheet, settled),
        say("%.1f L in place of %.1f L", litres, last.litres()));
    return Optional.empty();
  }

  private Optional<String> coldMark(Entry.ProcedureStepDone e) {
    ChargePlan plan = ChargePlan.of(sheet, settings.procedures());
    Volumes volumes = Volumes.of(sheet, sight.temperatureC());
    double level = sight.level20L();
    if (Double.isNaN(level)) {
      return Optional.of(LEVEL_UNKNOWN);
    }
    if (!(level >= (1 - MARK_SHARE) * plan.coldL() && level <= volumes.roomL())) {
      return Optional.of(
          say(
              "the level shows %.0f L; the cold mark is %.0f L at this temperature%s",
              sight.levelL(),
              ChargePlan.shownL(sheet, plan.coldL(), sight.temperatureC()),
              level > volumes.roomL() ? ", and there would be no room for it hot" : ""));
    }
    double pct = ChargePlan.strengthPct(sheet, open.charging().concentrateL(), level);
    Optional<String> wrong = draft.pass(BathState.WARMING, e.role(), facts());
    if (wrong.isEmpty()) {
      draft.bath = BathStates.charged(draft.bath, steady);
      draft.chargedAt = Optional.of(in.now().wall());
      draft.procedures =
          draft.procedures.owing(new Entry.Charge(draft.owed(e.stamp()), pct, CHARGE_SHARE * pct));
      done(
          e,
          open,
          ProcedureStep.HEAT,
          say(
              "%.1f L of concentrate in %.0f L at 20 °C: %.2f %% by volumes",
              open.charging().concentrateL(), level, pct));
    }
    return wrong;
  }

  private Optional<String> release(Entry.ProcedureStepDone e) {
    if (!sight.circulating()) {
      return Optional.of("circulation is off");
    }
    if (!sheet.chemistry().useC().contains(sight.temperatureC())) {
      return Optional.of(
          say(
              "%.1f °C is not within %.0f to %.0f °C",
              sight.temperatureC(),
              sheet.chemistry().useC().lowC(),
              sheet.chemistry().useC().highC()));
    }
    Optional<String> wrong = draft.pass(BathState.IN_USE, e.role(), facts());
    if (wrong.isEmpty()) {
      ended(e, say("released at %.2f %%", in.vouched().concentrationPct()));
    }
    return wrong;
  }
}
