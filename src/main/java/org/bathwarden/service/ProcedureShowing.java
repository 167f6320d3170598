package org.bathwarden.service;

import java.util.List;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.ProcedureGuide;
import org.bathwarden.dosing.TankSight;
import org.bathwarden.face.ProceduresPayload;
import org.bathwarden.face.TankStatePayload;
import org.bathwarden.tank.Now;

/** From a pass to what people are led through at its tank. Pure. */
final class ProcedureShowing {

  private ProcedureShowing() {}

  static ProceduresPayload of(Sheet sheet, PassResult result, Now now) {
    DosingState dosing = result.after().dosing();
    TankSight sight =
        TankSight.of(sheet.tank(), result.view().signals(), dosing.book().watch(), false);
    List<ProcedureGuide> guides =
        ProcedureGuide.of(
            sheet.dosing(),
            sheet.tank(),
            dosing,
            sight,
            result.view().estimate().concentrationPct());
    return ProceduresPayload.of(sheet.tank().id(), dosing.bath().state(), guides, now);
  }

  static List<TankStatePayload.Procedure> brief(Sheet sheet, PassResult result, Now now) {
    return of(sheet, result, now).guides().stream().map(ProceduresPayload.Guide::brief).toList();
  }
}
