package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Proposal;
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

/** What people are told, against what happened to the tank. */
class AdviceTest {

  private static List<String> advice(Bench bench) {
    return Advice.of(bench.sheet, bench.last, bench.now());
  }

  private static void onlyAdvice(String wanted, Bench bench) {
    assertEquals(List.of(wanted), advice(bench));
  }

  private static boolean advises(Bench bench, String start) {
    return advice(bench).stream().anyMatch(sentence -> sentence.startsWith(start));
  }

  private static void first(String start, Bench bench) {
    assertTrue(advice(bench).get(0).startsWith(start), advice(bench).toString());
  }

  @Test
  void aBathInOrderWantsNothing() {
    onlyAdvice("Nothing is wanted of anyone now.", Bench.ready(Mode.COMMAND));
  }

  @Test
  void aBathThatWasNeverTitratedWantsItsFirstTitration() {
    Bench bench = new Bench(Mode.COMMAND);
    bench.run(10);
    first("Titrate: it is the first of this bath", bench);
  }

  @Test
  void aTitrationIsAskedForShortlyBeforeItIsDueAndThenCountedOverdue() {
    Bench bench = Bench.ready(Mode.OFF);
    Duration interval = bench.sheet.dosing().limits().titrationInterval();
    bench.coarse(interval.minus(Duration.ofMinutes(93)), 60);
    assertFalse(advises(bench, "Titrate"), advice(bench).toString());
    bench.coarse(Duration.ofMinutes(60), 60);
    first("Titrate within 3", bench);
    bench.coarse(Duration.ofMinutes(210), 60);
    first("Titrate: overdue by 3 h", bench);
    bench.titrate();
    bench.until(90, () -> !advises(bench, "Titrate"));
  }

  @Test
  void aDoubtfulTitrationIsToBeRepeatedAndTheTripTold() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.titrate(13.5);
    bench.until(90, () -> advises(bench, "Repeat the titration"));
    List<String> advice = advice(bench);
    assertTrue(
        advice.get(0).startsWith("Repeat the titration with a fresh sample")
            && advice.get(0).contains("13.50 % where"),
        advice.toString());
    String trip = advice.get(1);
    assertTrue(
        trip.startsWith("Reset trip titration_doubtful_high (doubtful high titration): "), trip);
    assertTrue(trip.contains("have a titration of a fresh sample accepted, then enter"), trip);
    assertTrue(trip.endsWith("in the role chemist or higher."), trip);
  }

  @Test
  void aSampleThatCameBeforeTheBathWasMixedIsToBeDrawnAgain() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.panelKind = 1;
    bench.run(240);
    bench.panelKind = 0;
    bench.titrate();
    bench.until(90, () -> advises(bench, "Titrate a new sample, drawn with"));
  }

  @Test
  void aTripIsToldWithItsRoleUntilItIsReset() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.without(Permit.OVERFLOW_CLEAR);
    bench.run(5);
    onlyAdvice(
        "Reset trip overflow_float (overflow float): its cause is still there; once that is gone,"
            + " enter trip_reset in the role operator or higher.",
        bench);
    bench.with(Permit.OVERFLOW_CLEAR);
    bench.run(5);
    onlyAdvice(
        "Reset trip overflow_float (overflow float): its cause is gone; enter trip_reset in the"
            + " role operator or higher.",
        bench);
    bench.enter(new Entry.TripReset(bench.stamp(), Cause.OVERFLOW_FLOAT.key(), Role.OPERATOR));
    bench.run(1);
    onlyAdvice("Nothing is wanted of anyone now.", bench);
  }

  /** Following the advice to the letter brings the tank back, and the advice runs out. */
  @Test
  void whatIsAdvisedAfterALostMemoryBringsTheTankBack() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.plc().loseMemory();
    bench.run(10);
    first("Reset trip order_book_disagrees", bench);
    assertTrue(advice(bench).get(0).contains("enter resynchronise, then enter trip_reset in the"));
    assertTrue(advice(bench).get(0).contains("role engineer"));
    bench.enter(new Entry.Resynchronise(bench.stamp()));
    bench.run(5);
    bench.enter(
        new Entry.TripReset(bench.stamp(), Cause.ORDER_BOOK_DISAGREES.key(), Role.ENGINEER));
    bench.run(2);
    onlyAdvice(
        "The mode is propose; nothing is latched, it may be raised to command (enter mode).",
        bench);
    bench.enter(new Entry.ModeRequest(bench.stamp(), Mode.COMMAND));
    bench.run(2);
    onlyAdvice("Nothing is wanted of anyone now.", bench);
  }

  @Test
  void aStandbyTellsWhoCommandsAndWhatIsWantedWhereNobodyDoes() {
    Bench bench = Bench.ready(Mode.COMMAND);
    Trouble.anotherTookOver(bench);
    Trouble.theOtherBeats(bench);
    bench.run(3);
    first("Look at controller 4: it commands this tank.", bench);
    Trouble.anotherTookOver(bench);
    bench.run(10);
    first("Call the engineer: no controller commands this tank; take_line lets this one.", bench);
    bench.enter(new Entry.ModeRequest(bench.stamp(), Mode.PROPOSE));
    bench.run(2);
    first(
        "Call the engineer: no controller commands this tank, and this one does not take it in"
            + " mode propose.",
        bench);
  }

  @Test
  void anotherControllerOfTheSameNumberIsTold() {
    Bench bench = Bench.ready(Mode.COMMAND);
    Trouble.aTwinCommands(bench);
    bench.run(3);
    assertTrue(
        advises(bench, "Call the engineer: another controller commands this tank under this one's"),
        advice(bench).toString());
  }

  @Test
  void aKeySwitchThatWasInLocalIsReleased() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.without(Permit.REMOTE);
    bench.run(3);
    bench.with(Permit.REMOTE);
    bench.run(5);
    onlyAdvice(
        "Release local_switch (key switch in local): its cause is gone; an operator enters"
            + " release.",
        bench);
  }

  @Test
  void aProposalIsToBeAcceptedThenPouredThenAskedAbout() {
    Bench bench = Bench.ready(Mode.PROPOSE);
    bench.believe(8.5);
    bench.until(1800, () -> bench.state.dosing().proposals().open().isPresent());
    Proposal open = bench.state.dosing().proposals().open().orElseThrow();
    String litres = String.format(Locale.ROOT, "%.1f L of ", open.litres());
    assertTrue(
        advice(bench).contains("Accept or decline proposal 1: add " + litres + "concentrate."),
        advice(bench).toString());

    bench.enter(new Entry.ProposalAnswer(bench.stamp(), open.number(), true));
    bench.run(1);
    first("A. Operator accepted proposal 1: pour " + litres + "concentrate, then enter", bench);
    assertFalse(advises(bench, "Accept or decline"));

    bench.without(Permit.EMERGENCY_STOP);
    bench.run(2);
    assertTrue(
        advice(bench).stream()
            .anyMatch(s -> s.startsWith("Do not pour proposal 1") && s.contains("emergency_stop")),
        advice(bench).toString());
    bench.with(Permit.EMERGENCY_STOP);
    bench.coarse(Duration.ofMinutes(31), 2);
    assertTrue(advises(bench, "Find out what became of proposal 1"), advice(bench).toString());
    bench.enter(new Entry.ProposalSettled(bench.stamp(), open.number(), 0, Optional.empty()));
    bench.run(1);
    assertFalse(advice(bench).toString().contains("Find out"));
  }

  @Test
  void aTitrationThatCameOverMqttIsToBeConfirmed() {
    Bench bench = Bench.ready(Mode.OFF);
    Entry.Titration told = bench.titrate(10, Stamp.Channel.MQTT);
    bench.run(2);
    assertTrue(
        advice(bench).stream().anyMatch(s -> s.contains("confirm with entry " + told.stamp().id())),
        advice(bench).toString());
  }

  @Test
  void aBadProbeIsToBeCleaned() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.sensorFaults = 1 << 2;
    bench.coarse(Duration.ofMinutes(7), 5);
    assertTrue(
        advice(bench).contains("Check and clean the conductivity probe: fault declared."),
        advice(bench).toString());
  }
}
