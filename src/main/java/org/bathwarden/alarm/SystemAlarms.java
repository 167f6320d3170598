package org.bathwarden.alarm;

import static java.time.Duration.ofHours;
import static java.time.Duration.ofSeconds;
import static org.bathwarden.alarm.AlarmClass.SAFETY;
import static org.bathwarden.alarm.AlarmClass.SYSTEM;
import static org.bathwarden.alarm.Priority.LOW;
import static org.bathwarden.alarm.Priority.MEDIUM;

import java.util.List;

/** Alarms about the connection, the record, the clock and the authority to command. */
final class SystemAlarms {
  private SystemAlarms() {}

  static List<AlarmDefinition> all() {
    return List.of(
        lineLost(),
        commandLost(),
        holderLost(),
        lineTakenOver(),
        controllerFault(),
        recordFailing(),
        recordFull(),
        clock(),
        proof(),
        bypass());
  }

  private static AlarmDefinition lineLost() {
    return new Draft(AlarmKey.LINE_LOST, "Line connection lost", MEDIUM, SYSTEM)
        .of(AlarmDefinition.Scope.LINE)
        .when("no answer from the PLC, or its heartbeat stands still", ofSeconds(10))
        .offAfter(ofSeconds(10))
        .because("switch, cable, PLC stopped or in download", "its tanks are not dosed")
        .alone("the tanks are not dosed: hand round with the paper sheet, call")
        .withHelp("controls engineer checks network and PLC")
        .within(ofHours(1))
        .done();
  }

  private static AlarmDefinition commandLost() {
    return new Draft(AlarmKey.COMMAND_LOST, "Command lost", MEDIUM, SYSTEM)
        .when("deposed, the PLC lost its memory, or a trip is latched", ofSeconds(0))
        .offAfter(ofSeconds(0))
        .because("another instance took over, PLC reloaded, a cause tripped", "not dosed")
        .alone("not dosed: hand round, call; evidence and concentrate_blocked_by name the trips")
        .withHelp("the role named resets, after the cause is gone")
        .within(ofHours(1))
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition holderLost() {
    return new Draft(AlarmKey.HOLDER_LOST, "No controller commands", MEDIUM, SYSTEM)
        .when("no controller is seen to command, and this one does not", ofSeconds(15))
        .offAfter(ofSeconds(10))
        .because(
            "the other controller died, was stopped or lowered; the PLC does not take the claim",
            "not dosed")
        .alone("the tank is not dosed: hand round, call")
        .withHelp("engineer looks at controllers and PLC; take_line here if this one is to command")
        .within(ofHours(1))
        .hiddenBy(AlarmKey.LINE_LOST)
        .done();
  }

  private static AlarmDefinition lineTakenOver() {
    return new Draft(AlarmKey.LINE_TAKEN_OVER, "Line taken over", LOW, SYSTEM)
        .of(AlarmDefinition.Scope.LINE)
        .when("this controller took the line from another that fell silent", ofSeconds(0))
        .latching()
        .because(
            "the other controller died, was stopped or lowered, or lost its way to the PLC",
            "dosed by this one; whether another stands by is not seen from here")
        .alone("see that this one doses (concentrate_blocked_by); tell the engineer by day")
        .withHelp("engineer finds out why the other fell silent and brings it back to stand by")
        .within(ofHours(8))
        .done();
  }

  private static AlarmDefinition controllerFault() {
    return new Draft(AlarmKey.CONTROLLER_FAULT, "Controller fault", MEDIUM, SYSTEM)
        .of(AlarmDefinition.Scope.LINE)
        .when("the pass of a tank ends in an error", ofSeconds(0))
        .offAfter(ofSeconds(10))
        .because("a fault of the program", "the tanks named are neither dosed nor watched")
        .alone("hand round and paper sheet for the tanks named, call the engineer")
        .withHelp("engineer keeps the log and restarts the service")
        .within(ofHours(1))
        .done();
  }

  private static AlarmDefinition recordFailing() {
    return new Draft(AlarmKey.RECORD_FAILING, "Record store failing", LOW, SYSTEM)
        .of(AlarmDefinition.Scope.SITE)
        .when("the record cannot be written in time", ofSeconds(60))
        .because("disk full or broken", "not dosed; nothing is proved afterwards")
        .alone("hand round and paper sheet, call the engineer")
        .withHelp("engineer makes room or moves the store")
        .within(ofHours(4))
        .done();
  }

  private static AlarmDefinition recordFull() {
    return new Draft(AlarmKey.RECORD_FULL, "Record nearly full", LOW, SYSTEM)
        .of(AlarmDefinition.Scope.SITE)
        .when("quality records pass the limit of the store, or its disk is short", ofSeconds(60))
        .because("years of records, logs or other files on the disk", "soon not dosed")
        .alone("nothing is lost yet; tell the engineer by day")
        .withHelp("engineer backs up, makes room or raises the limit; records are never deleted")
        .within(ofHours(24))
        .done();
  }

  private static AlarmDefinition clock() {
    return new Draft(AlarmKey.CLOCK_NOT_TRUSTED, "Clock not trusted", LOW, SYSTEM)
        .of(AlarmDefinition.Scope.SITE)
        .when("the wall clock stepped, or is not synchronised", ofSeconds(60))
        .because("time server lost, battery, clock set by hand", "stamps in the record wrong")
        .alone("write times by your own watch on the paper sheet, call the engineer")
        .withHelp("engineer restores the time source")
        .within(ofHours(4))
        .done();
  }

  private static AlarmDefinition proof() {
    return new Draft(AlarmKey.PROOF_DUE, "Proof at the line due", LOW, SAFETY)
        .when(
            "a proof ends soon; medium once the tank may not command for want of one", ofSeconds(0))
        .because(
            "time, a failed proof, or a changed configuration",
            "from its end on the tank only proposes")
        .alone("tell the engineer; once it only proposes, hand round")
        .withHelp("engineer proves at the line what the alarm names")
        .within(ofHours(8))
        .done();
  }

  private static AlarmDefinition bypass() {
    return new Draft(AlarmKey.BYPASS_ACTIVE, "Interlock bypassed", LOW, SAFETY)
        .when("a bypass of an interlock is in force", ofSeconds(0))
        .offAfter(ofSeconds(0))
        .because("work on a probe, trial", "a protection is missing")
        .alone("tell the next shift; end it if its reason is gone")
        .withHelp("the approver ends it or renews it with a reason")
        .within(ofHours(8))
        .reAlarmAfter(ofHours(8))
        .done();
  }
}
