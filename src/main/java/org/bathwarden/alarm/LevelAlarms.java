package org.bathwarden.alarm;

import static java.time.Duration.ofMinutes;
import static java.time.Duration.ofSeconds;
import static org.bathwarden.alarm.AlarmClass.EQUIPMENT;
import static org.bathwarden.alarm.AlarmClass.SAFETY;
import static org.bathwarden.alarm.Priority.HIGH;
import static org.bathwarden.alarm.Priority.LOW;
import static org.bathwarden.alarm.Priority.MEDIUM;

import java.time.Duration;
import java.util.List;

/** Alarms about liquid where it should not be, or not where it should. */
final class LevelAlarms {
  private static final String VOLUME = "% of working volume";

  private LevelAlarms() {}

  static List<AlarmDefinition> all() {
    return List.of(
        overfill(),
        flowWithoutOrder(),
        outputNotDropped(),
        fastLoss(),
        heaterGuard(),
        low(),
        high(),
        bad());
  }

  private static AlarmDefinition overfill() {
    return new Draft(AlarmKey.LEVEL_OVERFILL, "Level overfill", HIGH, SAFETY)
        .when("overflow float wet, or volume above the tank's maximum", ofSeconds(2))
        .offAfter(ofSeconds(10))
        .deadband(1, VOLUME)
        .latching()
        .because("water valve passing, siphon, load displacement, foam", "hot alkali on the floor")
        .alone("stop water at the hand valve, keep clear, no drain without permit, call")
        .withHelp("goggles, face shield, gloves, boots: find the inflow and isolate it")
        .within(ofMinutes(5))
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition flowWithoutOrder() {
    return new Draft(AlarmKey.FLOW_WITHOUT_ORDER, "Flow without order", HIGH, SAFETY)
        .when(
            "a meter counts outside an order or panel run, or the level rises and no meter counts",
            ofSeconds(2))
        .offAfter(ofSeconds(10))
        .latching()
        .because("siphon, passing valve, pump on by hand or stuck", "overfill, or a strong bath")
        .alone("close hand valves, keep clear, call maintenance")
        .withHelp("lock off the pump; goggles, gloves: check anti-siphon valve and outlet")
        .within(ofMinutes(5))
        .hiddenBy(AlarmKey.LINE_LOST, AlarmKey.OUTPUT_NOT_DROPPED)
        .done();
  }

  private static AlarmDefinition outputNotDropped() {
    return new Draft(AlarmKey.OUTPUT_NOT_DROPPED, "Output did not drop", HIGH, SAFETY)
        .when("the PLC reports that a pump or valve output stayed on after an order", ofSeconds(2))
        .offAfter(ofSeconds(10))
        .latching()
        .because("welded contactor, stuck valve, forced output", "overfill, or a strong bath")
        .alone("close hand valves, switch the pump off at its isolator if in reach, call")
        .withHelp("lock off the pump, electrician checks contactor and valve")
        .within(ofMinutes(5))
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition fastLoss() {
    return new Draft(AlarmKey.FAST_LOSS, "Leak or unexplained fast loss", HIGH, SAFETY)
        .when("volume falls at more than 3 times the largest explained loss", ofMinutes(2))
        .latching()
        .because("leak, drain not closed, hose off, pump seal", "hot alkali spilt, heater dry")
        .alone("look from a safe distance, stop loading, call")
        .withHelp("goggles, gloves, boots: isolate circulation and heater, contain the spill")
        .within(ofMinutes(10))
        .notIn(Draft.NO_BATH)
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition heaterGuard() {
    return new Draft(AlarmKey.LEVEL_BELOW_HEATER_GUARD, "Level below heater guard", HIGH, SAFETY)
        .when("volume below the heater's guard", ofSeconds(30))
        .deadband(2, VOLUME)
        .because("loss, water shut, drained without an entry", "heater dry: damage, fire")
        .alone("check that the heater is off, stop loading, call; do not fill a hot dry tank")
        .withHelp("find the loss, let it cool, then refill by the charging procedure")
        .within(ofMinutes(10))
        .notIn(Draft.NO_WORKING_LEVEL)
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition low() {
    return new Draft(AlarmKey.LEVEL_LOW, "Level low", LOW, EQUIPMENT)
        .when("volume below the low-level point, above the heater's guard", ofMinutes(10))
        .deadband(2, VOLUME)
        .because("water shut or held, evaporation, drag-out", "dosing stops at the minimum level")
        .alone("check that the water hand valve is open, stop loading if it falls on")
        .withHelp("check strainer, solenoid and meter of the water line")
        .within(Duration.ofHours(2))
        .notIn(Draft.NO_WORKING_LEVEL)
        .hiddenBy(
            AlarmKey.LINE_LOST,
            AlarmKey.LEVEL_BAD,
            AlarmKey.FAST_LOSS,
            AlarmKey.LEVEL_BELOW_HEATER_GUARD,
            AlarmKey.WATER_OUT)
        .done();
  }

  private static AlarmDefinition high() {
    return new Draft(AlarmKey.LEVEL_HIGH, "Level high", LOW, EQUIPMENT)
        .when("volume above the high level, below the tank's maximum", ofMinutes(5))
        .deadband(2, VOLUME)
        .because("water valve passing, drag-in, load left in the bath", "no room, then overfill")
        .alone("close the water hand valve, look for a passing valve, take the load out")
        .withHelp("goggles, gloves: repair the valve; no drain without permit")
        .within(Duration.ofHours(1))
        .notIn(Draft.NO_BATH)
        .hiddenBy(
            AlarmKey.LINE_LOST,
            AlarmKey.LEVEL_BAD,
            AlarmKey.LEVEL_OVERFILL,
            AlarmKey.FLOW_WITHOUT_ORDER,
            AlarmKey.OUTPUT_NOT_DROPPED)
        .done();
  }

  private static AlarmDefinition bad() {
    return new Draft(AlarmKey.LEVEL_BAD, "Level bad or suspect", MEDIUM, EQUIPMENT)
        .when("level reading bad, uncertain, frozen or not settling", ofSeconds(60))
        .because("foam, fouled sensor, wiring, load left in the bath", "dosing is off")
        .alone("dosing is off: look into the tank from the platform, compare with the dip mark")
        .withHelp("goggles, gloves: clean or replace the sensor")
        .within(Duration.ofHours(1))
        .notIn(Draft.NO_WORKING_LEVEL)
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }
}
