package org.bathwarden.dosing;

import java.util.List;

/**
 * What is done at each step, what must be seen, and what cautions apply. Common practice, no
 * source; a site's own instructions and the product's safety data sheet come first.
 */
final class ProcedureTexts {

  static final String PPE = "Goggles, face shield, gloves, apron; eye wash within reach.";
  static final String SLOW = "Pour slowly, always concentrate into water, never water on it.";
  static final String CIRCULATION = "Circulation on; stop if it stops.";
  static final String BACKFLOW = "No hose below the surface: backflow into the water main.";
  static final String HOT = "Hot alkali burns; steam; keep clear of splashes.";
  static final String LOCK =
      "Lock off heater, pumps and dosing first; a permit bit is no isolation.";
  static final String NOT_SAFETY =
      "The controller is no safety system and stops nothing that people do by hand.";

  private ProcedureTexts() {}

  static String toDo(ProcedureStep step) {
    return switch (step) {
      case RUN_OUT -> "Use the bath on; tell when it is to go. No concentrate above the low limit.";
      case COOL -> "Heater off and locked; let the bath cool below the site's limit.";
      case PERMIT ->
          "Get the waste permit; tell where it goes (route) and the number of its document.";
      case DRAIN -> "Open the drain by hand, stay with it, close it; tell the litres.";
      case CLEAN -> "Rinse and clean the tank, look at heater, probes and seals; close the drain.";
      case FIRST_WATER -> "Run water in to the mark; nothing else yet.";
      case CIRCULATE -> "Start the circulation; heater stays off.";
      case PORTION -> "Pour one portion as proposed; tell the litres and the lot.";
      case MIX -> "Wait; add nothing while it mixes.";
      case CHECK_PORTION ->
          "Find out what is really in: count cans, read the drum; tell the litres, 0 if none.";
      case COLD_MARK -> "Water to the cold mark: the bath expands when it is heated.";
      case HEAT -> "Heater on; circulate until the bath is within the dosing window and mixed.";
      case TITRATE -> "Draw a sample now, with the circulation on; titrate and enter it.";
      case RELEASE -> "Look at the bath once more and release it into use by name.";
    };
  }

  static String toSee(ProcedureStep step) {
    return switch (step) {
      case RUN_OUT -> "Concentration falls; below the low limit concentrate is still added.";
      case COOL -> "The temperature is below the site's limit.";
      case PERMIT -> "The temperature is still below the limit; then the bath is draining.";
      case DRAIN -> "The level falls by what is told; the drain is closed again.";
      case CLEAN -> "The tank is empty and the drain closed.";
      case FIRST_WATER -> "The level stands near the mark, the drain is closed.";
      case CIRCULATE -> "Circulation runs for three minutes; level and probe are steady.";
      case PORTION -> "Circulation runs, the bath is below the mixing temperature.";
      case MIX -> "Level and conductivity rise by what was told.";
      case CHECK_PORTION -> "What was told and what is seen agree, or it is known why not.";
      case COLD_MARK -> "The level stands at the mark, not above it.";
      case HEAT -> "The temperature comes into the window; the level rises to the working level.";
      case TITRATE -> "A titration of a sample drawn from now on is accepted.";
      case RELEASE -> "Temperature within the window for use, circulation on, strength in band.";
    };
  }

  static List<String> cautions(ProcedureStep step) {
    return switch (step) {
      case RUN_OUT -> List.of(NOT_SAFETY);
      case COOL, PERMIT -> List.of(LOCK, HOT);
      case DRAIN, CLEAN -> List.of(LOCK, PPE, HOT);
      case FIRST_WATER, COLD_MARK -> List.of(BACKFLOW, "Stay with it until the water is shut.");
      case CIRCULATE, MIX -> List.of(CIRCULATION);
      case PORTION -> List.of(PPE, SLOW, CIRCULATION, "Not alone; label read by two, or scanned.");
      case CHECK_PORTION -> List.of("Pour nothing until it is known.", PPE);
      case HEAT -> List.of(HOT, CIRCULATION);
      case TITRATE -> List.of(PPE, HOT);
      case RELEASE -> List.of(NOT_SAFETY);
    };
  }
}
