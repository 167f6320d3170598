package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.Charging;
import org.bathwarden.dosing.Mixed;
import org.bathwarden.dosing.PortionCheck;
import org.bathwarden.dosing.Procedure;
import org.bathwarden.dosing.ProcedureStep;
import org.bathwarden.dosing.Procedures;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;

/** A procedure is kept to the last figure. */
class ProcedureKeptTest {

  private static final Instant THEN = Instant.parse("2026-03-02T06:00:00Z");
  private final Codec codec = new Codec();

  @Test
  void aChargeInTheMiddleOfAPortionComesBack() throws Exception {
    Charging charging =
        new Charging(
            List.of(
                new Charging.Portion(
                    25, "O. Perator", Optional.of("L-8"), PortionCheck.Verdict.SHOWS),
                new Charging.Portion(
                    24.5, "P. Ourer", Optional.empty(), PortionCheck.Verdict.MIXING)),
            Optional.of(new Mixed(THEN, 120, 775.25, 0, Double.NaN)),
            new Mixed(THEN.plusSeconds(700), 13, 799.5, 13, 6.125),
            3.5);
    Procedure open =
        new Procedure(
            ProcedureKind.CHANGE_OUT,
            ProcedureStep.MIX,
            THEN.plusSeconds(700),
            Now.at(THEN),
            "C. Chemist",
            Optional.of(new Procedure.Waste("pit 2", "W-118", 38.5, "C. Chemist")),
            985,
            charging);
    Stamp stamp =
        new Stamp(
            "e-bath", new TankId("degrease-1"), "C. Chemist", Stamp.Channel.CONSOLE, THEN, THEN);
    Procedures kept = new Procedures(Optional.of(open), List.of(new Entry.Charge(stamp, 10, 0.5)));
    assertEquals(kept, codec.read(Procedures.class, codec.write(Procedures.class, kept)));
    assertTrue(codec.write(Procedures.class, kept).contains("\"MIX\""));
  }
}
