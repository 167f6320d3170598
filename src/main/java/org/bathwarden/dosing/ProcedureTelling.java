package org.bathwarden.dosing;

import java.util.Optional;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.TankSheet;

/** A person tells that the step that is awaited is done. Lives within one call. */
final class ProcedureTelling {

  private final ProcedureScene scene;
  private final DrainTelling drain;
  private final ChargeTelling charge;

  ProcedureTelling(ProcedureScene scene) {
    this.scene = scene;
    this.drain = new DrainTelling(scene);
    this.charge = new ChargeTelling(scene);
  }

  /** What is wrong with it; empty if it is taken. */
  Optional<String> take(Entry.ProcedureStepDone e) {
    String awaited = scene.open().step().key();
    boolean measuredByHand = scene.open().step() == ProcedureStep.COOL;
    if (!e.step().equals(awaited)) {
      return Optional.of("the step awaited is " + awaited + ", not " + e.step());
    }
    if (!scene.open().step().told() && !measuredByHand) {
      return Optional.of(awaited + " is not told: it ends once it is seen");
    }
    Role least = least();
    if (e.role().compareTo(least) < 0) {
      return Optional.of(awaited + " is a " + BathTransitions.words(least) + "'s to tell");
    }
    return switch (scene.open().step()) {
      case RUN_OUT -> drain.runOut(e);
      case COOL -> drain.cool(e);
      case PERMIT -> drain.permit(e);
      case DRAIN -> drain.drain(e);
      case CLEAN -> drain.clean(e);
      case FIRST_WATER -> charge.firstWater(e);
      case PORTION -> charge.portion(e);
      case CHECK_PORTION -> charge.checked(e);
      case COLD_MARK -> charge.coldMark(e);
      case RELEASE -> charge.release(e);
      case CIRCULATE, MIX, HEAT, TITRATE -> Optional.of("it ends once it is seen");
    };
  }

  /** Least role that may tell the step that is awaited. */
  private Role least() {
    return least(
        scene.settings(), scene.sheet(), scene.open(), scene.in().vouched().concentrationPct());
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
}
