package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.ProcedureKind;

/**
 * A procedure under way.
 *
 * @param kind which
 * @param step where it stands
 * @param since since when it stands there, steady clock
 * @param begunAt when it was begun
 * @param author who began it
 * @param waste where the old bath goes, once that is told
 * @param fullL level when draining began, L; NaN if it was unknown or has not begun
 * @param charging how far the fresh bath is made up
 */
public record Procedure(
    ProcedureKind kind,
    ProcedureStep step,
    Instant since,
    Now begunAt,
    String author,
    Optional<Waste> waste,
    double fullL,
    Charging charging) {

  /**
   * Where a bath is drained to.
   *
   * @param route where it goes
   * @param document number of the permit or waste document
   * @param temperatureC temperature then, °C
   * @param author who answers for it
   */
  public record Waste(String route, String document, double temperatureC, String author) {}

  static Procedure begun(ProcedureKind kind, ProcedureStep first, Now now, String author) {
    return new Procedure(
        kind, first, now.steady(), now, author, Optional.empty(), Double.NaN, Charging.NONE);
  }

  Procedure at(ProcedureStep next, Instant steady) {
    return new Procedure(kind, next, steady, begunAt, author, waste, fullL, charging);
  }

  Procedure draining(Waste told, double levelL) {
    return new Procedure(kind, step, since, begunAt, author, Optional.of(told), levelL, charging);
  }

  Procedure with(Charging next) {
    return new Procedure(kind, step, since, begunAt, author, waste, fullL, next);
  }

  /** Whether it can go on while the bath is in {@code state}. */
  boolean fits(BathState state) {
    return switch (step) {
      case RUN_OUT -> state == BathState.IN_USE;
      case COOL, PERMIT -> state == BathState.STOOD_DOWN || state == BathState.CHARGING;
      case DRAIN -> state == BathState.DRAINING;
      case CLEAN -> state == BathState.EMPTY;
      case FIRST_WATER, CIRCULATE, PORTION, MIX, CHECK_PORTION, COLD_MARK ->
          state == BathState.CHARGING;
      case HEAT, TITRATE, RELEASE -> state == BathState.WARMING;
    };
  }

  /** Whether concentrate may be poured by it: what the panel pumps then is the charge's. */
  boolean pours() {
    return step == ProcedureStep.PORTION
        || step == ProcedureStep.MIX
        || step == ProcedureStep.CHECK_PORTION;
  }
}
