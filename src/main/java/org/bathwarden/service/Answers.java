package org.bathwarden.service;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Proof;
import org.bathwarden.dosing.ProofStatus;
import org.bathwarden.face.ProceduresPayload;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/** What somebody is told whose entry was taken: what came of it, and what is next. Pure. */
final class Answers {

  private Answers() {}

  /** The answer to {@code entry}, which the pass with {@code result} took. */
  static String taken(Entry entry, Sheet sheet, PassResult result, Now now) {
    DosingState dosing = result.after().dosing();
    if (entry instanceof Entry.ModeRequest wish && wish.mode() == Mode.COMMAND) {
      return command(result);
    }
    if (entry instanceof Entry.Titration) {
      return TitrationAnswer.of(entry.stamp(), sheet, result, now) + unvouched(entry);
    }
    if (entry instanceof Entry.Addition pour) {
      return "taken" + otherLot(pour.product(), pour.lot(), dosing) + unvouched(entry);
    }
    if (entry instanceof Entry.ProposalSettled settled) {
      return "taken" + otherLot(Product.CONCENTRATE, settled.lot(), dosing) + unvouched(entry);
    }
    if (entry instanceof Entry.Correction) {
      return corrected(sheet, result);
    }
    if (entry instanceof Entry.ProcedureBegun
        || entry instanceof Entry.ProcedureStepDone
        || entry instanceof Entry.ProcedureAbandoned) {
      return ProcedureShowing.of(sheet, result, now).guides().stream()
          .filter(guide -> guide.by().isPresent())
          .map(guide -> "taken; next is " + guide.step() + ": " + guide.awaits() + seen(guide))
          .findFirst()
          .orElseGet(() -> "taken; no procedure is open any more" + bath(dosing.bath().state()));
    }
    if (entry instanceof Entry.ProofResult || entry instanceof Entry.TestDose) {
      return proof(entry, sheet, dosing, now);
    }
    if (entry instanceof Entry.TakeLine) {
      return "taken; the line is asked for, and held once role says holder";
    }
    boolean towardsCommand =
        entry instanceof Entry.Resynchronise
            || entry instanceof Entry.TripReset
            || entry instanceof Entry.Release;
    if (!towardsCommand) {
      return "taken";
    }
    List<Cause> latched = dosing.interlocks().latched();
    if (!latched.isEmpty()) {
      return "taken; still latched: " + keys(latched) + ": next is trip_reset";
    }
    boolean lower = dosing.mode().compareTo(sheet.dosing().mode()) < 0;
    return lower ? "taken; nothing is latched: next is mode" : "taken; nothing is latched";
  }

  private static String corrected(Sheet sheet, PassResult result) {
    DosingState dosing = result.after().dosing();
    if (dosing.titration().sampledAt().isEmpty()
        && sheet.tank().chemistry().titrated()
        && !TitrationAnswer.acceptedSoon(sheet, result)) {
      return "taken; no accepted titration is left: concentrate is held until one is";
    }
    boolean held =
        TitrationAnswer.heldSince(dosing.interlocks(), Cause.TITRATION_DOUBTFUL_HIGH).isPresent();
    return "taken; enter it anew as it should have been"
        + (held
            ? "; titration_doubtful_high stays latched until a sample drawn after it is accepted"
            : "");
  }

  /** It was poured, whatever it was; but the person at the can is told. */
  private static String otherLot(Product product, Optional<String> lot, DosingState dosing) {
    Optional<String> drum = dosing.drum().lot();
    return product == Product.CONCENTRATE
            && lot.isPresent()
            && drum.isPresent()
            && !lot.get().equalsIgnoreCase(drum.get())
        ? "; it is of lot "
            + lot.get()
            + " and the drum of lot "
            + drum.get()
            + ": look at the label, and take it back by a correction if that is not what was poured"
        : "";
  }

  private static String seen(ProceduresPayload.Guide guide) {
    return guide.steps().stream()
        .flatMap(step -> step.now().stream())
        .map(now -> " Now: " + now + ".")
        .collect(Collectors.joining());
  }

  private static String bath(BathState state) {
    String back =
        switch (state) {
          case STOOD_DOWN, WARMING -> ": bath_state in_use when it is to be dosed again";
          case CHARGING -> ": charge says what is in it, then bath_state; or procedure_begin drain";
          case EMPTY -> ": procedure_begin charge makes up a new one";
          case DRAINING, IN_USE, OUT_OF_USE -> "";
        };
    return state == BathState.IN_USE
        ? ""
        : "; the bath is "
            + state.name().toLowerCase(Locale.ROOT).replace('_', ' ')
            + " and gets no concentrate"
            + back;
  }

  private static String proof(Entry entry, Sheet sheet, DosingState dosing, Now now) {
    if (entry instanceof Entry.TestDose) {
      return "taken; the dose begins once the PLC obeys and no interlock is against it";
    }
    List<ProofStatus> open =
        ProofStatus.open(sheet.dosing().proofs(), dosing.proofs().given(), now.steady());
    String next =
        open.isEmpty()
            ? sheet.dosing().proofs().demanded() ? "nothing is left to prove: next is mode" : ""
            : "left to prove: "
                + open.stream()
                    .map(status -> status.item().key())
                    .collect(Collectors.joining(", "));
    String seen =
        entry instanceof Entry.ProofResult result
            ? Optional.ofNullable(dosing.proofs().given().get(result.item()))
                .map(Proof::evidence)
                .orElse("")
            : "";
    return "taken" + (seen.isEmpty() ? "" : ": " + seen) + (next.isEmpty() ? "" : "; " + next);
  }

  private static String unvouched(Entry entry) {
    return entry.stamp().vouched()
        ? ""
        : "; makes doses only smaller until confirmed at the controller";
  }

  private static String command(PassResult result) {
    DosingState dosing = result.after().dosing();
    if (dosing.mode() != Mode.COMMAND) {
      List<Cause> latched = dosing.interlocks().latched();
      return "taken, but interlocks lowered the mode to propose at once: "
          + (latched.isEmpty() ? keys(result.view().verdict().active()) : keys(latched))
          + (dosing.book().latch().isPresent()
              ? ": next is resynchronise, then trip_reset, then mode"
              : latched.isEmpty() ? "" : ": next is trip_reset, then mode");
    }
    List<String> against = new ArrayList<>();
    for (Product product : Product.values()) {
      Collection<Cause> by = result.view().verdict().of(product).blockedBy();
      if (!by.isEmpty()) {
        against.add(product.word() + " is held by " + keys(by));
      }
    }
    return against.isEmpty() ? "taken" : "taken; " + String.join("; ", against);
  }

  private static String keys(Collection<Cause> causes) {
    return causes.stream().sorted().map(Cause::key).collect(Collectors.joining(", "));
  }
}
