package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.TankSheet;

/**
 * A procedure that is open, what is seen, and what a step that is done changes. Lives within one
 * call.
 */
record ProcedureScene(
    DosingSettings settings,
    TankSheet sheet,
    DosingDraft draft,
    DosingInput in,
    TankSight sight,
    Procedure open) {

  static final String LEVEL_UNKNOWN =
      "the level is not known now: wait until it reads steadily; if it stays so, see to the sensor";

  Instant steady() {
    return in.now().steady();
  }

  void done(Entry.ProcedureStepDone e, Procedure now, ProcedureStep next, String words) {
    draft.moved(open, "done", words, e.stamp().author());
    draft.procedures = draft.procedures.with(Optional.of(now.at(next, steady())));
  }

  BathTransitions.Facts facts() {
    return draft.transition(settings, sheet, sight, true);
  }

  void ended(Entry.ProcedureStepDone e, String words) {
    draft.moved(open, "ended", words, e.stamp().author());
    draft.procedures = draft.procedures.with(Optional.empty());
  }
}
