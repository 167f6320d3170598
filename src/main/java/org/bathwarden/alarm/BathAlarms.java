package org.bathwarden.alarm;

import static java.time.Duration.ofHours;
import static java.time.Duration.ofMinutes;
import static java.time.Duration.ofSeconds;
import static org.bathwarden.alarm.AlarmClass.EQUIPMENT;
import static org.bathwarden.alarm.AlarmClass.QUALITY;
import static org.bathwarden.alarm.AlarmClass.SAFETY;
import static org.bathwarden.alarm.Priority.HIGH;
import static org.bathwarden.alarm.Priority.LOW;
import static org.bathwarden.alarm.Priority.MEDIUM;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.bathwarden.tank.BathState;

/** Alarms about what the bath does to parts, and about the probes that tell. */
final class BathAlarms {
  private static final String TARGET = "% of target concentration";
  private static final Set<BathState> COLD_OR_NO_BATH =
      EnumSet.of(
          BathState.EMPTY,
          BathState.CHARGING,
          BathState.STOOD_DOWN,
          BathState.DRAINING,
          BathState.OUT_OF_USE);

  private BathAlarms() {}

  static List<AlarmDefinition> all() {
    return List.of(
        strongForLightMetal(),
        strong(),
        weak(),
        hot(),
        cold(),
        ph(),
        contradicts(),
        overdue(),
        conductivityProbe(),
        phProbe(),
        temperatureProbe(),
        circulation(),
        stateConflict(),
        checkFailed());
  }

  private static AlarmDefinition strongForLightMetal() {
    return new Draft(
            AlarmKey.CONCENTRATION_HIGH_LIGHT_METAL,
            "Concentration high with light metal in use",
            HIGH,
            SAFETY)
        .when("median concentration above the high limit, light metal washed", ofMinutes(5))
        .deadband(2, TARGET)
        .because("over-delivery, unbooked pour, water lost", "attack on parts, hydrogen gas")
        .alone("stop loading, take parts out if safe, ventilation on, titrate")
        .withHelp("chemist decides on dilution; goggles, gloves; no drain without permit")
        .within(ofMinutes(10))
        .notIn(Draft.NOT_IN_USE)
        .done();
  }

  private static AlarmDefinition strong() {
    return new Draft(AlarmKey.CONCENTRATION_HIGH, "Concentration high", LOW, QUALITY)
        .when("median concentration above the high limit", ofMinutes(15))
        .deadband(2, TARGET)
        .because("over-delivery, unbooked pour, water lost", "staining, harder rinsing, waste")
        .alone("titrate, watch; no drain")
        .withHelp("chemist decides on dilution within the room; no drain without permit")
        .within(ofHours(2))
        .notIn(Draft.NOT_IN_USE)
        .hiddenBy(AlarmKey.CONCENTRATION_HIGH_LIGHT_METAL)
        .done();
  }

  private static AlarmDefinition weak() {
    return new Draft(AlarmKey.CONCENTRATION_LOW, "Concentration low", MEDIUM, QUALITY)
        .when("median concentration below the low limit", ofMinutes(15))
        .deadband(2, TARGET)
        .because("drum empty, drag-out, leak made up with water", "parts not clean")
        .alone("titrate; if true, stop critical parts; no lone pouring")
        .withHelp("trained person, goggles, face shield, gloves: add as proposed, pour slowly")
        .within(ofHours(1))
        .notIn(Draft.NOT_IN_USE)
        .done();
  }

  private static AlarmDefinition hot() {
    return new Draft(AlarmKey.TEMPERATURE_HIGH, "Temperature high", MEDIUM, SAFETY)
        .when("temperature above the limit of product or metal", ofMinutes(2))
        .deadband(1, "K")
        .because("thermostat or steam valve stuck", "attack on metal, oiling out, boiling")
        .alone("heater off, stop loading")
        .withHelp("maintenance checks thermostat and steam valve; burns: gloves, face shield")
        .within(ofMinutes(20))
        .notIn(Draft.NO_BATH)
        .hiddenBy(AlarmKey.LINE_LOST, AlarmKey.TEMPERATURE_PROBE_BAD)
        .done();
  }

  private static AlarmDefinition cold() {
    return new Draft(AlarmKey.TEMPERATURE_LOW, "Temperature low while in use", LOW, QUALITY)
        .when("temperature below the window for use; dosing of concentrate waits", ofMinutes(30))
        .deadband(1, "K")
        .because("heater off, steam shut, much cold water", "poor cleaning, foam, dosing waits")
        .alone("stop loading; check heater switch and steam valve")
        .withHelp("maintenance checks heater, steam trap, thermostat")
        .within(ofHours(1))
        .notIn(Draft.NOT_IN_USE)
        .hiddenBy(AlarmKey.LINE_LOST, AlarmKey.TEMPERATURE_PROBE_BAD)
        .done();
  }

  private static AlarmDefinition ph() {
    return new Draft(AlarmKey.PH_OUTSIDE_LIMITS, "pH outside metal limits", MEDIUM, QUALITY)
        .when("compensated pH outside the limits of a metal washed", ofMinutes(15))
        .deadband(0.1, "pH")
        .because("acid or wrong product came in, bath strong or spent, probe", "parts attacked")
        .alone("stop loading that metal, check by strip or hand meter, titrate")
        .withHelp("chemist decides; never dose to pH; goggles, gloves for samples")
        .within(ofMinutes(30))
        .notIn(Draft.NOT_IN_USE)
        .hiddenBy(AlarmKey.LINE_LOST, AlarmKey.PH_PROBE_BAD)
        .done();
  }

  private static AlarmDefinition contradicts() {
    return new Draft(AlarmKey.TITRATION_CONTRADICTS, "Titration contradicts", LOW, QUALITY)
        .when("a doubtful titration was not repeated since the task was set", ofMinutes(30))
        .offAfter(ofSeconds(0))
        .because("wrong tank, kit, factor or hot sample; or an unbooked change", "doses in doubt")
        .alone("repeat with a fresh sample, other person or kit; goggles, gloves")
        .withHelp("chemist compares kit against a known sample")
        .within(ofHours(1))
        .notIn(Draft.NOT_IN_USE)
        .done();
  }

  private static AlarmDefinition overdue() {
    return new Draft(AlarmKey.TITRATION_OVERDUE, "Titration overdue", LOW, QUALITY)
        .when("longer than the site's interval since the accepted titration", ofHours(2))
        .offAfter(ofSeconds(0))
        .because("round missed, kit missing, nobody trained on shift", "caps cut, then held")
        .alone("titrate; goggles, gloves")
        .withHelp("supervisor provides kit or a trained person")
        .within(ofHours(4))
        .notIn(Draft.NOT_IN_USE)
        .hiddenBy(AlarmKey.CONCENTRATE_HELD)
        .done();
  }

  private static AlarmDefinition conductivityProbe() {
    return probe(AlarmKey.CONDUCTIVITY_PROBE_BAD, "Conductivity probe bad")
        .because("oil film, air, fouling, wiring", "estimate by balance only, reduced caps")
        .notIn(Draft.NOT_IN_USE)
        .done();
  }

  private static AlarmDefinition phProbe() {
    return probe(AlarmKey.PH_PROBE_BAD, "pH probe bad")
        .because("dry, aged or coated electrode, wiring", "no guard against metal attack")
        .notIn(Draft.NOT_IN_USE)
        .done();
  }

  private static AlarmDefinition temperatureProbe() {
    return probe(AlarmKey.TEMPERATURE_PROBE_BAD, "Temperature probe bad")
        .because("broken wire, scale on the pocket", "no compensation, dosing is off")
        .notIn(COLD_OR_NO_BATH)
        .done();
  }

  private static Draft probe(AlarmKey key, String title) {
    return new Draft(key, title, LOW, EQUIPMENT)
        .when("reading bad, uncertain, frozen or suspect", ofMinutes(5))
        .alone("look at the probe's place and cable; titrate more often")
        .withHelp("circulation off, goggles, gloves: clean, check against a standard, replace")
        .within(ofHours(8))
        .hiddenBy(AlarmKey.LINE_LOST);
  }

  private static AlarmDefinition circulation() {
    return new Draft(AlarmKey.CIRCULATION_OFF, "Circulation off in use", LOW, EQUIPMENT)
        .when("the circulation permit is false", ofMinutes(2))
        .offAfter(ofSeconds(10))
        .because("pump tripped, filter blocked, switched off", "not mixed: dosing is off")
        .alone("restart the pump, look at the filter pressure; dosing is off")
        .withHelp("lock off, gloves, goggles: change the filter")
        .within(ofMinutes(30))
        .notIn(Draft.NOT_IN_USE)
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition stateConflict() {
    return new Draft(AlarmKey.BATH_STATE_CONFLICT, "Bath state in conflict", LOW, EQUIPMENT)
        .when("the entered state and level, drain, loads or circulation contradict", ofMinutes(5))
        .because("tank drained or filled without an entry", "dosing wrongly allowed or held")
        .alone("look at the tank, enter the state it really is in")
        .withHelp("supervisor clears up what was done to the tank")
        .within(ofHours(1))
        .hiddenBy(AlarmKey.LINE_LOST, AlarmKey.LEVEL_BAD, AlarmKey.FAST_LOSS)
        .done();
  }

  private static AlarmDefinition checkFailed() {
    return new Draft(AlarmKey.CHECK_FAILED, "Cleaning check failed twice", MEDIUM, QUALITY)
        .when("water-break or staining test failed, and its repeat", ofSeconds(0))
        .offAfter(ofSeconds(0))
        .because("spent or surfactant-poor bath, rinse, oil, temperature, load", "parts rejected")
        .alone("hold parts since the last good check, stop critical parts, call the chemist")
        .withHelp("chemist decides; concentration is never raised on a failed check")
        .within(ofHours(1))
        .notIn(Draft.NO_BATH)
        .done();
  }
}
