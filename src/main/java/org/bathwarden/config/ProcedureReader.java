package org.bathwarden.config;

import java.util.List;
import org.bathwarden.dosing.ProcedureSettings;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.Role;

/** Makes what a site sets about charging, draining and standing. */
final class ProcedureReader {

  private ProcedureReader() {}

  static ProcedureSettings read(Section tank, Geometry geometry, List<Problem> problems) {
    Section own = tank.section("procedures");
    ProcedureSettings usual = ProcedureSettings.USUAL;
    ProcedureSettings read =
        new ProcedureSettings(
            own.word(Role.class, "drain_role", usual.drainRole()),
            own.number("drain_below_c", usual.drainBelowC()),
            own.number("empty_l"),
            own.number("first_fill_share", usual.firstFillShare()),
            own.whole("charge_portions", usual.chargePortions()),
            own.number("charge_portion_l", usual.chargePortionL()),
            own.truth("titrate_after_standing", usual.titrateAfterStanding()));
    if (read.emptyL().isPresent() && !(read.emptyL().getAsDouble() < geometry.heaterGuardL())) {
      problems.add(own.error("empty_l", "below heater_guard_l"));
    }
    return read;
  }
}
