package org.bathwarden.alarm;

import static java.time.Duration.ofHours;
import static java.time.Duration.ofMinutes;
import static java.time.Duration.ofSeconds;
import static org.bathwarden.alarm.AlarmClass.DOSING;
import static org.bathwarden.alarm.AlarmClass.SAFETY;
import static org.bathwarden.alarm.Priority.HIGH;
import static org.bathwarden.alarm.Priority.LOW;
import static org.bathwarden.alarm.Priority.MEDIUM;

import java.util.List;

/** Alarms about what is dosed, from which drum, and how much flowed. */
final class DosingAlarms {
  private static final String PROTECTION = "goggles, face shield, gloves, apron: ";

  private DosingAlarms() {}

  static List<AlarmDefinition> all() {
    return List.of(
        wrongProduct(),
        held(),
        overDelivered(),
        shortOrders(),
        concentrateOut(),
        waterOut(),
        totalizer(),
        unbooked(),
        cap());
  }

  private static AlarmDefinition wrongProduct() {
    return new Draft(
            AlarmKey.WRONG_PRODUCT,
            "Wrong product or wrong response after drum change",
            HIGH,
            SAFETY)
        .when(
            "drum entered is not the sheet's product, or the bath answers wrongly to it",
            ofSeconds(0))
        .latching()
        .because("wrong drum, wrong lot, strength differs", "acid or chlorine into alkali")
        .alone("isolate the pump at its switch, keep the drum, keep clear, call the chemist")
        .withHelp(PROTECTION + "lock off, identify the product, flush only on the chemist's word")
        .within(ofMinutes(10))
        .done();
  }

  private static AlarmDefinition held() {
    return new Draft(AlarmKey.CONCENTRATE_HELD, "Concentrate held by doubt", MEDIUM, DOSING)
        .when("dosing of concentrate is held because the estimate is too uncertain", ofMinutes(5))
        .because("no titration, probe bad, unexplained change", "bath runs weak unnoticed")
        .alone("titrate; stop critical parts at the time shown")
        .withHelp("chemist judges the bath by hand titrations")
        .within(ofHours(2))
        .notIn(Draft.NOT_IN_USE)
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition overDelivered() {
    return new Draft(AlarmKey.ORDER_OVER_DELIVERED, "Order over delivered", MEDIUM, DOSING)
        .when("delivered above ordered by more than the larger of 5 % and 2 pulses", ofSeconds(0))
        .because("pump runs on, valve passes, pulse value wrong", "bath strong or overfull")
        .alone("titrate, do not add, call")
        .withHelp("maintenance checks pump, valve and meter")
        .within(ofMinutes(30))
        .hiddenBy(AlarmKey.LINE_LOST, AlarmKey.OUTPUT_NOT_DROPPED, AlarmKey.FLOW_WITHOUT_ORDER)
        .done();
  }

  private static AlarmDefinition shortOrders() {
    return new Draft(AlarmKey.ORDER_SHORT, "Orders short or no flow", LOW, DOSING)
        .when("two orders in a row came short or saw no flow", ofSeconds(0))
        .because("drum empty, suction off, air in the line, pump worn", "bath runs weak")
        .alone("look at drum and suction line, do not open them alone")
        .withHelp(PROTECTION + "prime, tighten suction, change the drum")
        .within(ofHours(2))
        .hiddenBy(AlarmKey.LINE_LOST, AlarmKey.CONCENTRATE_OUT, AlarmKey.WATER_OUT)
        .done();
  }

  private static AlarmDefinition concentrateOut() {
    return new Draft(AlarmKey.CONCENTRATE_OUT, "Concentrate out", LOW, DOSING)
        .when("the concentrate permit is false", ofSeconds(60))
        .because("drum empty, suction switch", "bath runs weak")
        .alone("see that a drum of the right product is there, call a trained person")
        .withHelp(PROTECTION + "change the drum, enter product and lot")
        .within(ofHours(4))
        .notIn(Draft.NO_BATH)
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition waterOut() {
    return new Draft(AlarmKey.WATER_OUT, "Make-up water out", LOW, DOSING)
        .when("the water permit is false", ofSeconds(60))
        .because("main shut, softener in regeneration, break tank empty", "level falls")
        .alone("open the water hand valve, look at the softener")
        .withHelp("maintenance checks supply and backflow protection")
        .within(ofHours(4))
        .notIn(Draft.NO_BATH)
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition totalizer() {
    return new Draft(AlarmKey.TOTALIZER_MISMATCH, "Totalizer mismatch", LOW, DOSING)
        .when(
            "totalizer, delivered volume and level rise disagree; at once on two orders in a row",
            ofMinutes(30))
        .because("pulse value, air, worn pump, level drift", "doses are booked wrongly")
        .alone("compare with drum mark and level, note both, call")
        .withHelp("calibrate by a measured run; goggles, gloves")
        .within(ofHours(4))
        .hiddenBy(AlarmKey.LINE_LOST, AlarmKey.FLOW_WITHOUT_ORDER, AlarmKey.LEVEL_BAD)
        .done();
  }

  private static AlarmDefinition unbooked() {
    return new Draft(AlarmKey.UNBOOKED_CHANGE, "Unbooked addition or loss", LOW, DOSING)
        .when("a finding of an addition or loss is more than 95 % sure", ofSeconds(0))
        .because("poured, drained or skimmed without an entry", "estimate and caps are wrong")
        .alone("ask the shift; book what was poured or taken out, else titrate, look for a leak")
        .withHelp("supervisor asks the earlier shift")
        .within(ofHours(4))
        .notIn(Draft.NO_WORKING_LEVEL)
        .hiddenBy(AlarmKey.FLOW_WITHOUT_ORDER, AlarmKey.FAST_LOSS)
        .done();
  }

  private static AlarmDefinition cap() {
    return new Draft(AlarmKey.CAP_REACHED, "Dosing cap reached", LOW, DOSING)
        .when("the volume allowed in 8 h or since the accepted titration is used", ofSeconds(0))
        .because("lost drag-out, leak made up, meter or probe wrong", "no more dosing by itself")
        .alone("titrate; look for a leak or lost drag-out")
        .withHelp("chemist accepts the titration, or has the loss found")
        .within(ofHours(1))
        .notIn(Draft.NOT_IN_USE)
        .hiddenBy(AlarmKey.CONCENTRATE_HELD)
        .done();
  }
}
