package org.bathwarden.dosing;

import static org.bathwarden.dosing.Needs.say;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.TankSheet;

/**
 * Where people stand in what they are led through at one tank, and what is awaited of them.
 *
 * @param procedure name: of a {@link ProcedureKind}, {@code drum_change} or {@code cold_start}
 * @param author who began it; empty for one that nobody begins
 * @param begunAt when, wall time
 * @param step key of the step that is awaited
 * @param awaits what is awaited, one sentence
 * @param role least role that may tell it
 * @param litres what is proposed to pour at this step, L; never an order
 * @param steps all steps in order
 */
public record ProcedureGuide(
    String procedure,
    Optional<String> author,
    Optional<Instant> begunAt,
    String step,
    String awaits,
    Role role,
    OptionalDouble litres,
    List<StepView> steps) {

  /** Copies the list. */
  public ProcedureGuide {
    steps = List.copyOf(steps);
  }

  /**
   * One step as people see it.
   *
   * @param key its name
   * @param state {@code done}, {@code now} or {@code ahead}
   * @param told whether a person tells that it is done
   * @param toDo what to do
   * @param toSee what must be seen
   * @param now what is seen now; only of the present step
   * @param cautions what to mind
   */
  public record StepView(
      String key,
      String state,
      boolean told,
      String toDo,
      String toSee,
      Optional<String> now,
      List<String> cautions) {

    /** Copies the list. */
    public StepView {
      cautions = List.copyOf(cautions);
    }
  }

  /** What people are led through now: the procedure first, then drum and cold start. */
  public static List<ProcedureGuide> of(
      DosingSettings settings, TankSheet sheet, DosingState state, TankSight sight, double pct) {
    List<ProcedureGuide> guides = new ArrayList<>();
    state
        .procedures()
        .open()
        .ifPresent(open -> guides.add(of(new Scene(settings, sheet, state, sight, pct), open)));
    StandingGuides.drum(state).ifPresent(guides::add);
    if (state.procedures().open().isEmpty()) {
      StandingGuides.coldStart(settings, sheet, state, sight).ifPresent(guides::add);
    }
    return List.copyOf(guides);
  }

  /** What a guide is made from. */
  private record Scene(
      DosingSettings settings, TankSheet sheet, DosingState state, TankSight sight, double pct) {

    ChargePlan plan() {
      return ChargePlan.of(sheet, settings.procedures());
    }

    String mark(double litres20) {
      return say("mark %.0f L, level %s", shown(litres20), sight.levelWords());
    }

    double shown(double litres20) {
      return ChargePlan.shownL(sheet, litres20, sight.temperatureC());
    }

    String temperature() {
      return Double.isNaN(sight.temperatureC())
          ? "temperature unknown"
          : say("%.1f °C", sight.temperatureC());
    }

    String circulation() {
      return "circulation " + (sight.circulating() ? "on" : "off");
    }
  }

  private static ProcedureGuide of(Scene scene, Procedure open) {
    OptionalDouble litres = portion(scene, open);
    List<StepView> steps = new ArrayList<>();
    for (ProcedureStep step : ProcedureStep.of(open.kind())) {
      boolean now = step == open.step();
      if (step == ProcedureStep.RUN_OUT && !now) {
        continue; // few change-outs have it: what is past or was not asked for is not listed
      }
      steps.add(
          new StepView(
              step.key(),
              now ? "now" : step.compareTo(open.step()) < 0 ? "done" : "ahead",
              step.told(),
              ProcedureTexts.toDo(step),
              ProcedureTexts.toSee(step),
              now ? Optional.of(now(scene, open)) : Optional.empty(),
              ProcedureTexts.cautions(step)));
    }
    return new ProcedureGuide(
        BathTransitions.words(open.kind()).replace(' ', '_'),
        Optional.of(open.author()),
        Optional.of(open.begunAt().wall()),
        open.step().key(),
        awaits(scene, open, litres),
        ProcedureTelling.least(scene.settings(), scene.sheet(), open, scene.pct()),
        litres,
        steps);
  }

  private static String awaits(Scene scene, Procedure open, OptionalDouble litres) {
    if (open.step() == ProcedureStep.PORTION) {
      return litres.isPresent()
          ? say("Pour %.1f L of concentrate, slowly; then tell the litres.", litres.getAsDouble())
          : "Pour nothing now: " + against(scene) + ".";
    }
    return ProcedureTexts.toDo(open.step());
  }

  /** The portion that is proposed; none while something is against pouring. */
  private static OptionalDouble portion(Scene scene, Procedure open) {
    return open.step() == ProcedureStep.PORTION && against(scene).isEmpty()
        ? OptionalDouble.of(scene.plan().nextL(open.charging().concentrateL()))
        : OptionalDouble.empty();
  }

  private static String against(Scene scene) {
    List<String> against = new ArrayList<>();
    TankSight sight = scene.sight();
    if (!sight.circulating()) {
      against.add("circulation is off");
    }
    if (!(sight.temperatureC() <= scene.sheet().chemistry().mixingBelowC())) {
      against.add(
          say(
              "%.1f °C is not below the mixing temperature of %.0f °C",
              sight.temperatureC(), scene.sheet().chemistry().mixingBelowC()));
    }
    if (!scene.state().drum().known()) {
      against.add("what is in the drum is not known");
    }
    if (scene.state().interlocks().latched().contains(Cause.RESPONSE_MISMATCH)) {
      against.add("the product is doubted");
    }
    if (!sight.drainClosed()) {
      against.add("the drain is not closed");
    }
    return String.join(", ", against);
  }

  private static String now(Scene scene, Procedure open) {
    ChargePlan plan = scene.plan();
    double inL = open.charging().concentrateL();
    return switch (open.step()) {
      case RUN_OUT -> say("%.2f %%, low limit %.2f %%", scene.pct(), scene.sheet().band().lowPct());
      case COOL, PERMIT ->
          say(
              "%s, limit %.1f °C",
              scene.temperature(), scene.settings().procedures().drainBelowC());
      case DRAIN ->
          say(
              "level %s of %.0f L, drain %s",
              scene.sight().levelWords(),
              open.fullL(),
              scene.sight().drainClosed() ? "closed" : "open");
      case CLEAN ->
          say(
              "level %s, drain %s",
              scene.sight().levelWords(), scene.sight().drainClosed() ? "closed" : "open");
      case FIRST_WATER -> scene.mark(plan.firstWaterL());
      case CIRCULATE, HEAT -> scene.circulation() + ", " + scene.temperature();
      case PORTION ->
          say(
              "%.1f of %.1f L in, %s, %s",
              inL, plan.concentrateL(), scene.temperature(), scene.circulation());
      case MIX ->
          say(
              "%.1f L told, %s, judged after %d min of it",
              open.charging().last().litres(),
              scene.circulation(),
              scene.settings().limits().mixingWait().toMinutes());
      case CHECK_PORTION ->
          say(
              "%.1f L told by %s: %s",
              open.charging().last().litres(),
              open.charging().last().author(),
              BathTransitions.words(open.charging().last().shown()));
      case COLD_MARK -> scene.mark(plan.coldL());
      case TITRATE -> say("%.2f %% by the estimate", scene.pct());
      case RELEASE -> say("%.2f %%, %s, %s", scene.pct(), scene.temperature(), scene.circulation());
    };
  }
}
