package org.bathwarden.dosing;

import java.util.OptionalDouble;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.TankSheet;

/**
 * What a site sets about charging, draining and standing. All defaults are judgement, to be
 * rationalised on site.
 *
 * @param drainRole least role that may begin and permit a drain
 * @param drainBelowC a bath is drained colder than this, °C
 * @param emptyL level up to which a tank counts as empty, L; if absent, 5 % of the working level
 * @param firstFillShare share of the cold volume filled with water before any concentrate
 * @param chargePortions in how many portions a charge's concentrate is poured, at least
 * @param chargePortionL largest of these portions, L
 * @param titrateAfterStanding whether the first concentrate after more than 24 h without
 *     circulation needs an accepted titration
 */
public record ProcedureSettings(
    Role drainRole,
    double drainBelowC,
    OptionalDouble emptyL,
    double firstFillShare,
    int chargePortions,
    double chargePortionL,
    boolean titrateAfterStanding) {

  /** Those of a site that sets nothing. */
  public static final ProcedureSettings USUAL =
      new ProcedureSettings(Role.CHEMIST, 40, OptionalDouble.empty(), 0.75, 4, 25, true);

  private static final double EMPTY_SHARE = 0.05;

  /** Level up to which {@code sheet}'s tank counts as empty, L. */
  public double emptyL(TankSheet sheet) {
    return emptyL.orElse(EMPTY_SHARE * sheet.geometry().workingL());
  }
}
