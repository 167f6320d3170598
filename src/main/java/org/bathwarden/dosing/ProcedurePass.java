package org.bathwarden.dosing;

import static org.bathwarden.dosing.Needs.say;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankSheet;

/**
 * Takes the procedure of a tank through one pass: what people tell, then what is seen. Nothing here
 * orders anything; a step told that is not so is refused with what is seen.
 */
final class ProcedurePass {

  /** Water stands still and the probe is read for so long before the first portion; judgement. */
  private static final Duration FIRST_LOOK = Duration.ofMinutes(3);

  private final DosingSettings settings;
  private final TankSheet sheet;
  private final DosingDraft draft;
  private final DosingInput in;
  private final TankSight sight;
  private final Instant steady;

  ProcedurePass(
      DosingSettings settings,
      TankSheet sheet,
      DosingDraft draft,
      DosingInput in,
      TankSight sight) {
    this.settings = settings;
    this.sheet = sheet;
    this.draft = draft;
    this.in = in;
    this.sight = sight;
    this.steady = in.now().steady();
  }

  void run() {
    draft.procedures = draft.procedures.settled();
    for (Entry entry : in.entries()) {
      Optional<String> wrong = Optional.empty();
      if (entry instanceof Entry.ProcedureBegun e) {
        wrong = begin(e);
      } else if (entry instanceof Entry.ProcedureStepDone e) {
        wrong =
            draft
                .procedures
                .open()
                .map(p -> new ProcedureTelling(scene(p)).take(e))
                .orElseGet(() -> Optional.of("no procedure is open"));
      } else if (entry instanceof Entry.ProcedureAbandoned e) {
        wrong = abandon(e);
      }
      Stamp stamp = entry.stamp();
      wrong.ifPresent(reason -> draft.refuse(stamp.id(), stamp.author(), reason));
    }
    draft.procedures.open().ifPresent(this::look);
  }

  private ProcedureScene scene(Procedure open) {
    return new ProcedureScene(settings, sheet, draft, in, sight, open);
  }

  private Optional<String> begin(Entry.ProcedureBegun e) {
    Optional<Procedure> open = draft.procedures.open();
    if (open.isPresent()) {
      return Optional.of(
          say(
              "%s is open, at its step %s: finish it, or procedure_abandon",
              BathTransitions.words(open.get().kind()), open.get().step().key()));
    }
    Optional<String> wrong = e.procedure() == ProcedureKind.CHARGE ? charge(e) : drain(e);
    if (wrong.isEmpty()) {
      ProcedureStep first = first(e);
      Procedure begun = Procedure.begun(e.procedure(), first, in.now(), e.stamp().author());
      draft.procedures = draft.procedures.with(Optional.of(begun));
      draft.moved(begun, "begun", e.runOut() ? "the bath is run out first" : "", begun.author());
    }
    return wrong;
  }

  private static ProcedureStep first(Entry.ProcedureBegun e) {
    return switch (e.procedure()) {
      case CHARGE -> ProcedureStep.FIRST_WATER;
      case DRAIN -> ProcedureStep.COOL;
      case CHANGE_OUT -> e.runOut() ? ProcedureStep.RUN_OUT : ProcedureStep.COOL;
    };
  }

  private Optional<String> charge(Entry.ProcedureBegun e) {
    double emptyL = settings.procedures().emptyL(sheet);
    if (sight.levelL() > emptyL) {
      return Optional.of(
          say(
              "a charge begins in an empty tank and the level shows %.0f L, more than %.0f L: the"
                  + " way: procedure_begin drain",
              sight.levelL(), emptyL));
    }
    return draft.pass(BathState.CHARGING, e.role(), facts());
  }

  /** The bath leaves use at once, unless it is run out first. */
  private Optional<String> drain(Entry.ProcedureBegun e) {
    if (e.role().compareTo(settings.procedures().drainRole()) < 0) {
      return Optional.of(
          say("only a %s begins it", BathTransitions.words(settings.procedures().drainRole())));
    }
    BathState state = draft.bath.state();
    boolean used = state == BathState.IN_USE || state == BathState.WARMING;
    if (e.runOut() && !(e.procedure() == ProcedureKind.CHANGE_OUT && state == BathState.IN_USE)) {
      return Optional.of("only the bath of a change-out is run out, while it is in use");
    }
    if (!used && state != BathState.STOOD_DOWN && state != BathState.CHARGING) {
      return Optional.of(
          say("there is no bath to drain: the tank is %s", BathTransitions.words(state)));
    }
    return used && !e.runOut()
        ? draft.pass(BathState.STOOD_DOWN, e.role(), facts())
        : Optional.empty();
  }

  private Optional<String> abandon(Entry.ProcedureAbandoned e) {
    Optional<Procedure> open = draft.procedures.open();
    if (open.isEmpty()) {
      return Optional.of("no procedure is open");
    }
    boolean draining = draft.bath.state() == BathState.DRAINING;
    if (draining && !sight.drainClosed()) {
      return Optional.of("the drain is not closed: close it first");
    }
    double outL = open.get().fullL() - sight.levelL();
    draft.procedures = draft.procedures.with(Optional.empty());
    if (draining) {
      draft.pass(BathState.STOOD_DOWN, Role.ENGINEER, facts());
      if (outL > 0) {
        draft.procedures =
            draft.procedures.owing(new Entry.Removal(draft.owed(e.stamp()), outL, "drained"));
      }
    }
    draft.moved(open.get(), "abandoned", e.reason(), e.stamp().author());
    return Optional.empty();
  }

  private BathTransitions.Facts facts() {
    return draft.transition(settings, sheet, sight, true);
  }

  /** Steps that are seen pass by themselves. */
  private void look(Procedure p) {
    switch (p.step()) {
      case COOL -> {
        if (sight.temperatureC() <= settings.procedures().drainBelowC()) {
          seen(p, ProcedureStep.PERMIT, say("%.1f °C", sight.temperatureC()));
        }
      }
      case CIRCULATE -> mix(p, FIRST_LOOK);
      case MIX -> mix(p, settings.limits().mixingWait());
      case HEAT -> {
        if (!draft.bath.unmixed() && sight.circulating()) {
          boolean titrated = sheet.chemistry().titrated();
          ProcedureStep next = titrated ? ProcedureStep.TITRATE : ProcedureStep.RELEASE;
          seen(p, next, say("mixed at %.1f °C", sight.temperatureC()));
        }
      }
      case TITRATE -> {
        boolean fresh =
            draft.titration.sampledAt().map(at -> !at.isBefore(p.since())).orElse(false);
        if (fresh && draft.bath.titrateBeforeDose().isEmpty()) {
          seen(p, ProcedureStep.RELEASE, say("%.2f %%", in.vouched().concentrationPct()));
        }
      }
      default -> {}
    }
  }

  private void seen(Procedure p, ProcedureStep next, String words) {
    draft.moved(p, "done", words, "");
    draft.procedures = draft.procedures.with(Optional.of(p.at(next, steady)));
  }

  private void mix(Procedure p, Duration wait) {
    Charging mixing =
        p.charging()
            .mixing(
                p.charging()
                    .mixing()
                    .after(sight.circulating(), sight.level20L(), sight.pct(), wait, steady));
    Procedure mixed = p.with(mixing);
    if (!mixing.mixing().over(wait, steady)) {
      draft.procedures = draft.procedures.with(Optional.of(mixed));
    } else if (p.step() == ProcedureStep.CIRCULATE) {
      seen(mixed.with(mixing.mixed()), ProcedureStep.PORTION, "");
    } else {
      judge(mixed);
    }
  }

  private void judge(Procedure p) {
    Charging charging = p.charging();
    Charging.Portion last = charging.last();
    Mixed before = charging.before().orElse(Mixed.NOT);
    double bookedPct =
        ChargePlan.strengthPct(sheet, charging.concentrateL() - last.litres(), before.level20L());
    PortionCheck check =
        PortionCheck.of(sheet, before, charging.mixing(), last.litres(), bookedPct);
    boolean shows = check.verdict() == PortionCheck.Verdict.SHOWS;
    Charging judged = charging.judged(last.litres(), check.verdict());
    draft.moved(p, shows ? "done" : "doubted", check.words(last.litres()), "");
    ProcedureStep next =
        shows ? draft.afterPortion(settings, sheet, judged) : ProcedureStep.CHECK_PORTION;
    draft.procedures = draft.procedures.with(Optional.of(p.with(judged.mixed()).at(next, steady)));
    draft.otherProduct = check.verdict() == PortionCheck.Verdict.OTHER_PRODUCT;
  }
}
