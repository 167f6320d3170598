package org.bathwarden.dosing;

import static org.bathwarden.dosing.Needs.say;

import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.ProcedureStepDone.Told;
import org.bathwarden.tank.ProcedureKind;

/** The steps by which a bath is taken out, told by a person. Lives within one call. */
final class DrainTelling {

  /** What was drained may differ from what the level lost by so much; judgement. */
  private static final double DRAINED_SHARE = 0.25;

  private static final double LEVEL_SHARE = 0.03;

  private final ProcedureScene scene;

  DrainTelling(ProcedureScene scene) {
    this.scene = scene;
  }

  Optional<String> runOut(Entry.ProcedureStepDone e) {
    Optional<String> wrong = scene.draft().pass(BathState.STOOD_DOWN, e.role(), scene.facts());
    if (wrong.isEmpty()) {
      scene.done(e, scene.open(), ProcedureStep.COOL, "");
    }
    return wrong;
  }

  Optional<String> cool(Entry.ProcedureStepDone e) {
    if (Double.isFinite(scene.sight().temperatureC())) {
      return Optional.of("the probe measures the temperature: the step ends once it is seen");
    }
    double measuredC = e.told().temperatureC().orElse(Double.NaN);
    return tooHot(measuredC)
        .or(
            () -> {
              scene.done(e, scene.open(), ProcedureStep.PERMIT, say("%.1f °C by hand", measuredC));
              return Optional.empty();
            });
  }

  private Optional<String> tooHot(double temperatureC) {
    double limitC = scene.settings().procedures().drainBelowC();
    if (Double.isNaN(temperatureC)) {
      return Optional.of("the probe shows no temperature: measure it and tell temperature_c");
    }
    return temperatureC > limitC
        ? Optional.of(
            say("%.1f °C is above the site's limit of %.1f °C: let it cool", temperatureC, limitC))
        : Optional.empty();
  }

  Optional<String> permit(Entry.ProcedureStepDone e) {
    Told told = e.told();
    if (told.route().isEmpty() || told.document().isEmpty()) {
      return Optional.of("it needs the waste route (route) and the number of its document");
    }
    if (!Double.isFinite(scene.sight().levelL())) {
      return Optional.of(ProcedureScene.LEVEL_UNKNOWN);
    }
    double temperatureC =
        Double.isFinite(scene.sight().temperatureC())
            ? scene.sight().temperatureC()
            : told.temperatureC().orElse(Double.NaN);
    Optional<String> wrong =
        tooHot(temperatureC)
            .or(() -> scene.draft().pass(BathState.DRAINING, e.role(), scene.facts()));
    if (wrong.isEmpty()) {
      Procedure.Waste waste =
          new Procedure.Waste(
              told.route().get(), told.document().get(), temperatureC, e.stamp().author());
      String words = say("%s, document %s, %.1f °C", waste.route(), waste.document(), temperatureC);
      scene.done(
          e, scene.open().draining(waste, scene.sight().levelL()), ProcedureStep.DRAIN, words);
    }
    return wrong;
  }

  Optional<String> drain(Entry.ProcedureStepDone e) {
    if (e.told().litres().isEmpty()) {
      return Optional.of("it needs the litres drained");
    }
    if (!Double.isFinite(scene.sight().levelL())) {
      return Optional.of(ProcedureScene.LEVEL_UNKNOWN);
    }
    double litres = e.told().litres().getAsDouble();
    double fellL = scene.open().fullL() - scene.sight().levelL();
    double beside = DRAINED_SHARE * litres + LEVEL_SHARE * scene.sheet().geometry().workingL();
    if (Math.abs(fellL - litres) > beside) {
      return Optional.of(
          say(
              "%.0f L told, and the level fell by %.0f L: look at the tank",
              litres, Math.max(fellL, 0)));
    }
    boolean some = scene.sight().levelL() > scene.settings().procedures().emptyL(scene.sheet());
    if (some && scene.open().kind() == ProcedureKind.CHANGE_OUT) {
      return Optional.of(
          say(
              "the level shows %.0f L: a change-out closes only over an empty tank; drain on, or"
                  + " close the drain and procedure_abandon",
              scene.sight().levelL()));
    }
    Optional<String> wrong =
        scene.draft().pass(some ? BathState.STOOD_DOWN : BathState.EMPTY, e.role(), scene.facts());
    if (wrong.isEmpty()) {
      Procedure.Waste waste = scene.open().waste().orElseThrow();
      String words =
          say(
              "%.0f L to %s, document %s%s",
              litres, waste.route(), waste.document(), some ? ", the rest stays" : "");
      if (some) {
        scene.draft().procedures =
            scene
                .draft()
                .procedures
                .owing(new Entry.Removal(scene.draft().owed(e.stamp()), litres, words));
      }
      if (scene.open().kind() == ProcedureKind.CHANGE_OUT) {
        scene.done(e, scene.open(), ProcedureStep.CLEAN, words);
      } else {
        scene.ended(e, words);
      }
    }
    return wrong;
  }

  Optional<String> clean(Entry.ProcedureStepDone e) {
    if (!scene.sight().drainClosed()) {
      return Optional.of("the drain is not closed: close it first");
    }
    Optional<String> wrong = scene.draft().pass(BathState.CHARGING, e.role(), scene.facts());
    if (wrong.isEmpty()) {
      scene.done(e, scene.open(), ProcedureStep.FIRST_WATER, "");
    }
    return wrong;
  }
}
