package org.bathwarden.dosing;

import static org.bathwarden.dosing.Needs.say;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.TankSheet;

/** Guides that nobody begins: what is seen of drum and bath calls for them. */
final class StandingGuides {

  private static final Set<BathState> WITH_BATH =
      EnumSet.of(BathState.WARMING, BathState.IN_USE, BathState.STOOD_DOWN);

  private StandingGuides() {}

  private record Text(String key, boolean told, String toDo, String toSee, List<String> cautions) {}

  private static final List<Text> DRUM =
      List.of(
          new Text(
              "drum",
              true,
              "Change the drum; enter drum_change with product, lot, expiry and volume, the label"
                  + " scanned or read by a second person.",
              "The product is the sheet's and not expired.",
              List.of("Lock off the pump.", ProcedureTexts.PPE, "Not alone.")),
          new Text(
              "prime",
              true,
              "Prime the suction line; enter drum_change again as primed.",
              "No air in the line; the suction switch is closed.",
              List.of(ProcedureTexts.PPE)),
          new Text(
              "first_portion",
              false,
              "Wait: the first portion of the new lot is half size.",
              "The conductivity answers as the product would make it.",
              List.of(ProcedureTexts.CIRCULATION)));

  private static final List<Text> COLD =
      List.of(
          new Text(
              "circulate",
              false,
              "Start the circulation.",
              "The circulation permit is given.",
              List.of("Look into the tank first; skim oil.", ProcedureTexts.HOT)),
          new Text(
              "warm",
              false,
              "Heat into the dosing window.",
              "The temperature is within it.",
              List.of(ProcedureTexts.HOT)),
          new Text(
              "mix",
              false,
              "Wait until it is mixed.",
              "Circulation within the window, three turnovers.",
              List.of(ProcedureTexts.CIRCULATION)),
          new Text(
              "titrate",
              false,
              "Draw a sample of the mixed bath; titrate and enter it.",
              "It is accepted.",
              List.of(ProcedureTexts.PPE)));

  /**
   * A drum of which product, lot or priming is not known yet, or that has not shown it; a procedure
   * checks each portion itself.
   */
  static Optional<ProcedureGuide> drum(DosingState state) {
    Drum drum = state.drum();
    String lot = drum.lot().orElse("");
    boolean checked = !drum.firstPortion() || state.procedures().open().isPresent();
    if (drum.known() && checked) {
      return Optional.empty();
    }
    int at = drum.known() ? 2 : lot.isEmpty() || drum.ranOut() ? 0 : 1;
    String now = lot.isEmpty() ? "drum not known" : "lot " + lot;
    return Optional.of(guide("drum_change", DRUM, at, now));
  }

  /** A bath that stood or is cold. */
  static Optional<ProcedureGuide> coldStart(
      DosingSettings settings, TankSheet sheet, DosingState state, TankSight sight) {
    Bath bath = state.bath();
    boolean wanted = bath.unmixed() || bath.titrateBeforeDose().isPresent();
    if (!wanted || !WITH_BATH.contains(bath.state())) {
      return Optional.empty();
    }
    boolean warm = sheet.chemistry().dosingC().contains(sight.temperatureC());
    int at = !sight.circulating() ? 0 : !warm ? 1 : bath.unmixed() ? 2 : 3;
    String now =
        say(
            "circulation %s, %.1f °C, mixes for %d min",
            sight.circulating() ? "on" : "off",
            sight.temperatureC(),
            settings.limits().mixingWait().toMinutes());
    List<Text> steps = bath.titrateBeforeDose().isPresent() ? COLD : COLD.subList(0, 3);
    return Optional.of(guide("cold_start", steps, at, now));
  }

  private static ProcedureGuide guide(String name, List<Text> texts, int at, String now) {
    List<ProcedureGuide.StepView> steps = new ArrayList<>();
    for (int i = 0; i < texts.size(); i++) {
      Text text = texts.get(i);
      steps.add(
          new ProcedureGuide.StepView(
              text.key(),
              i < at ? "done" : i == at ? "now" : "ahead",
              text.told(),
              text.toDo(),
              text.toSee(),
              i == at ? Optional.of(now) : Optional.empty(),
              text.cautions()));
    }
    Text present = texts.get(at);
    return new ProcedureGuide(
        name,
        Optional.empty(),
        Optional.empty(),
        present.key(),
        present.toDo(),
        Role.OPERATOR,
        OptionalDouble.empty(),
        steps);
  }
}
