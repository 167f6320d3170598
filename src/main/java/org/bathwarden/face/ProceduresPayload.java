package org.bathwarden.face;

import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.dosing.ProcedureGuide;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/**
 * What people are led through at one tank.
 *
 * @param tank its name
 * @param at wall time of this view
 * @param bath bath state in words
 * @param guides the procedure under way first; empty if nothing is
 */
public record ProceduresPayload(String tank, Instant at, String bath, List<Guide> guides) {

  /** Copies the list. */
  public ProceduresPayload {
    guides = List.copyOf(guides);
  }

  /**
   * One of them.
   *
   * @param procedure {@code charge}, {@code drain}, {@code change_out}, {@code drum_change} or
   *     {@code cold_start}
   * @param step step that is awaited
   * @param awaits what is awaited, one sentence
   * @param role least role that may tell it
   * @param litres what is proposed to pour, L; a person pours it
   * @param by who began it
   * @param begunAt when, wall time
   * @param steps all steps in order
   */
  public record Guide(
      String procedure,
      String step,
      String awaits,
      String role,
      Optional<Double> litres,
      Optional<String> by,
      Optional<Instant> begunAt,
      List<Step> steps) {

    /** Copies the list. */
    public Guide {
      steps = List.copyOf(steps);
    }

    /** The same in short, for the state of the tank. */
    public TankStatePayload.Procedure brief() {
      return new TankStatePayload.Procedure(procedure, step, awaits, role, litres, by, begunAt);
    }
  }

  /**
   * One step.
   *
   * @param step its name
   * @param state {@code done}, {@code now} or {@code ahead}
   * @param told whether a person tells that it is done; else it is seen
   * @param toDo what to do
   * @param toSee what must be seen
   * @param now what is seen now
   * @param cautions what to mind
   */
  public record Step(
      String step,
      String state,
      boolean told,
      String toDo,
      String toSee,
      Optional<String> now,
      List<String> cautions) {

    /** Copies the list. */
    public Step {
      cautions = List.copyOf(cautions);
    }
  }

  /** From the core's guides. */
  public static ProceduresPayload of(
      TankId tank, BathState bath, List<ProcedureGuide> guides, Now now) {
    return new ProceduresPayload(
        tank.name(),
        now.wall(),
        bath.name().toLowerCase(Locale.ROOT),
        guides.stream().map(ProceduresPayload::guide).toList());
  }

  private static Guide guide(ProcedureGuide guide) {
    return new Guide(
        guide.procedure(),
        guide.step(),
        guide.awaits(),
        guide.role().name().toLowerCase(Locale.ROOT),
        guide.litres().isPresent() ? Optional.of(guide.litres().getAsDouble()) : Optional.empty(),
        guide.author(),
        guide.begunAt(),
        guide.steps().stream()
            .map(
                step ->
                    new Step(
                        step.key(),
                        step.state(),
                        step.told(),
                        step.toDo(),
                        step.toSee(),
                        step.now(),
                        step.cautions()))
            .toList());
  }
}
