package org.bathwarden.cycle;

import static org.bathwarden.cycle.AlarmWays.await;
import static org.bathwarden.cycle.AlarmWays.reset;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.Happening;
import org.bathwarden.dosing.Cause;
import org.bathwarden.estimate.Flag;
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;

/** When an alarm calls and when not, and what it says. */
class AlarmConditionsTest {

  @Test
  void aSiphonIsCalledThoughNoMeterCounts() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.litresLostPerS = -0.1;
    await(bench, 2, AlarmKey.FLOW_WITHOUT_ORDER, AlarmLife.UNACKNOWLEDGED);
  }

  @Test
  void aPourByHandIsNoSiphon() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.volumeL += 60;
    bench.coarse(Duration.ofMinutes(20), 5);
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.FLOW_WITHOUT_ORDER));
  }

  @Test
  void aLostLineCallsOnceAndHidesWhatFollowsFromIt() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.linkUp = false;
    bench.causesElsewhere = Set.of(AlarmKey.LINE_LOST);
    bench.coarse(Duration.ofMinutes(20), 5);
    assertEquals(Set.of(), bench.state.alarm().annunciated());

    bench.linkUp = true;
    bench.causesElsewhere = Set.of();
    bench.coarse(Duration.ofMinutes(20), 5);
    assertEquals(Set.of(), bench.state.alarm().annunciated());
  }

  @Test
  void withoutTheLineAlarmTheSameLossCallsForTheLevel() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.linkUp = false;
    bench.coarse(Duration.ofMinutes(20), 5);
    assertTrue(bench.state.alarm().annunciated().contains(AlarmKey.LEVEL_BAD));
  }

  @Test
  void aDoubtfulTitrationCallsOnlyWhenItIsNotRepeated() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.titrate(13.5);
    bench.coarse(Duration.ofMinutes(29), 5);
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.TITRATION_CONTRADICTS));
    bench.coarse(Duration.ofMinutes(2), 5);
    assertEquals(Set.of(AlarmKey.TITRATION_CONTRADICTS), bench.state.alarm().annunciated());
  }

  @Test
  void lostCommandStandsFromTheTripToTheReset() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.without(Permit.OVERFLOW_CLEAR);
    bench.run(30);
    assertEquals(
        Set.of(AlarmKey.LEVEL_OVERFILL, AlarmKey.COMMAND_LOST), bench.state.alarm().annunciated());
    bench.with(Permit.OVERFLOW_CLEAR);
    bench.run(30);
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.life(AlarmKey.COMMAND_LOST));
    reset(bench, Cause.OVERFLOW_FLOAT, Role.OPERATOR);
    bench.run(1);
    assertFalse(bench.state.alarm().active(AlarmKey.COMMAND_LOST));
    assertEquals(1, bench.count(AlarmKey.COMMAND_LOST, Happening.ACTIVATED));
  }

  /** The loss is seen and not seen by turns; the latch stands all the while. */
  @Test
  void aLossThatComesAndGoesDoesNotMakeLostCommandChatter() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.litresLostPerS = 0.3;
    bench.coarse(Duration.ofMinutes(6), 2);
    assertEquals(List.of(Cause.FAST_LOSS), bench.state.dosing().interlocks().latched());
    for (int i = 0; i < 4; i++) {
      bench.litresLostPerS = -0.3;
      bench.coarse(Duration.ofMinutes(4), 2);
      bench.litresLostPerS = 0.3;
      bench.coarse(Duration.ofMinutes(4), 2);
    }
    assertTrue(bench.state.dosing().interlocks().latched().contains(Cause.FAST_LOSS));
    assertTrue(bench.lossSeenAndGone > 2, "the condition must flicker: " + bench.lossSeenAndGone);
    assertEquals(1, bench.count(AlarmKey.COMMAND_LOST, Happening.ACTIVATED));
    assertEquals(0, bench.count(AlarmKey.COMMAND_LOST, Happening.RETURNED));
  }

  /** A trip that its own alarm tells of, which comes and goes: at most one call, no return. */
  @Test
  void anAlarmOfItsOwnThatComesAndGoesDoesNotEndLostCommand() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.titrate(13.5);
    bench.run(90);
    assertEquals(
        List.of(Cause.TITRATION_DOUBTFUL_HIGH), bench.state.dosing().interlocks().latched());
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.COMMAND_LOST), "a task first");
    bench.titrate();
    bench.until(90, () -> bench.life(AlarmKey.COMMAND_LOST) == AlarmLife.UNACKNOWLEDGED);
    bench.titrate(13.5);
    bench.until(90, () -> bench.estimate().flags().contains(Flag.TITRATION_DOUBTFUL));
    bench.run(5);
    assertTrue(bench.state.alarm().active(AlarmKey.COMMAND_LOST));
    assertEquals(1, bench.count(AlarmKey.COMMAND_LOST, Happening.ACTIVATED));
  }

  @Test
  void lostCommandNamesEveryTripThatIsLatchedAndWhoResetsIt() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.without(Permit.REMOTE);
    bench.run(3);
    assertEquals("1 trip latched", bench.said(AlarmKey.COMMAND_LOST).value());
    assertEquals(
        "latched: local switch (release by operator)",
        bench.said(AlarmKey.COMMAND_LOST).evidence());
    bench.strayMlPerS = 50;
    bench.coarse(Duration.ofMinutes(1), 2);
    String evidence = bench.said(AlarmKey.COMMAND_LOST).evidence();
    assertTrue(evidence.contains("local switch (release by operator)"), evidence);
    assertTrue(evidence.contains("flow without order (reset by engineer)"), evidence);
    assertEquals("2 trips latched", bench.said(AlarmKey.COMMAND_LOST).value());
    assertEquals(
        1,
        bench.count(AlarmKey.COMMAND_LOST, Happening.ACTIVATED),
        "kept current, not called anew");
  }

  @Test
  void theAlarmOfALossSaysHowMuchWasLost() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.litresLostPerS = 0.3;
    await(bench, 2, AlarmKey.FAST_LOSS, AlarmLife.UNACKNOWLEDGED);
    double first = litres(bench.said(AlarmKey.FAST_LOSS).value(), "lost ");
    double before = bench.volumeL;
    bench.coarse(Duration.ofSeconds(150), 2);
    double second = litres(bench.said(AlarmKey.FAST_LOSS).value(), "lost ");
    assertEquals(
        before - bench.volumeL, second - first, 0.2 * (before - bench.volumeL), "kept current");
    assertTrue(bench.said(AlarmKey.FAST_LOSS).evidence().startsWith("the level falls"));
  }

  @Test
  void aLossThatRestsOnABookingSaysSo() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.enter(new Entry.Addition(bench.stamp(), Product.WATER, 100, false, Optional.empty()));
    await(bench, 2, AlarmKey.FAST_LOSS, AlarmLife.UNACKNOWLEDGED);
    assertEquals(100, litres(bench.said(AlarmKey.FAST_LOSS).value(), "lost "), 5);
    assertEquals(
        "the level does not show the 100 L that were counted or booked in",
        bench.said(AlarmKey.FAST_LOSS).evidence());
  }

  @Test
  void aSiphonsAlarmSaysHowMuchCameIn() {
    Bench bench = Bench.ready(Mode.OFF);
    double before = bench.volumeL;
    bench.litresLostPerS = -0.1;
    await(bench, 2, AlarmKey.FLOW_WITHOUT_ORDER, AlarmLife.UNACKNOWLEDGED);
    double came = bench.volumeL - before;
    assertEquals(
        came, litres(bench.said(AlarmKey.FLOW_WITHOUT_ORDER).value(), "gained "), 0.2 * came);
  }

  @Test
  void permitsAndFaultsAreNamedNotNumbered() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.without(Permit.WATER_AVAILABLE);
    bench.strayMlPerS = 50;
    bench.coarse(Duration.ofMinutes(2), 2);
    assertEquals("not given: water available", bench.said(AlarmKey.WATER_OUT).value());
    assertEquals("flow without order", bench.said(AlarmKey.FLOW_WITHOUT_ORDER).value());
    assertEquals("the PLC reports this fault", bench.said(AlarmKey.FLOW_WITHOUT_ORDER).evidence());
  }

  @Test
  void aContradictionNamesBothSides() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.titrate(13.5);
    await(bench, 10, AlarmKey.TITRATION_CONTRADICTS, AlarmLife.UNACKNOWLEDGED);
    String value = bench.said(AlarmKey.TITRATION_CONTRADICTS).value();
    assertTrue(value.matches("13\\.50 % titrated against (9|10)\\.\\d\\d % expected"), value);
  }

  /** The word for what is dosed is no label's text: it is refused, and no drum is suspected. */
  @Test
  void aSlipInTheProductOfADrumIsNoWrongDrum() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.enter(
        new Entry.DrumChange(bench.stamp(), "Concentrate", "lot 9", 200, true, Plant.CHECKED));
    bench.run(5);
    assertEquals(1, bench.refusals().size());
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.WRONG_PRODUCT));
  }

  @Test
  void aBypassCallsAgainEachShift() {
    Bench bench =
        new Bench(Plant.sheet(Mode.OFF, Set.of(Metal.STEEL), Set.of(Permit.DRAIN_CLOSED)));
    bench.run(2);
    bench.enter(new Entry.Acknowledge(bench.stamp(), AlarmKey.BYPASS_ACTIVE.key(), ""));
    bench.run(1);
    assertEquals(AlarmLife.ACKNOWLEDGED, bench.life(AlarmKey.BYPASS_ACTIVE));
    bench.coarse(Duration.ofHours(8), 60);
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.life(AlarmKey.BYPASS_ACTIVE));
  }

  /** Acknowledging, shelving and taking out of service change nothing in the process. */
  @Test
  void whatPeopleDoToAlarmsChangesNoDose() {
    Bench plain = troubled();
    Bench handled = troubled();
    for (AlarmKey key : AlarmKey.values()) {
      handled.enter(new Entry.Acknowledge(handled.stamp(), key.key(), "seen"));
    }
    plain.run(1);
    handled.run(1);
    for (AlarmKey key : AlarmKey.values()) {
      handled.enter(new Entry.Shelve(handled.stamp(), key.key(), Duration.ofMinutes(10), "known"));
      handled.enter(new Entry.ServiceChange(handled.stamp(), key.key(), true, "known"));
    }
    plain.granted = Set.of(Plant.DRUM);
    handled.granted = Set.of(Plant.DRUM);
    plain.run(120);
    handled.run(120);
    assertEquals(1, plain.submits().size());
    assertEquals(plain.writes, handled.writes);
    assertEquals(plain.state.dosing(), handled.state.dosing());
    assertFalse(plain.state.alarm().equals(handled.state.alarm()));
  }

  /** A weak bath that is dosed while alarms stand. */
  private static Bench troubled() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.enter(new Entry.QualityCheck(bench.stamp(), "staining", false));
    bench.enter(new Entry.QualityCheck(bench.stamp(), "staining", false));
    bench.without(Permit.WATER_AVAILABLE);
    bench.granted = Set.of();
    bench.believe(8.5);
    bench.run(30);
    return bench;
  }

  private static double litres(String value, String verb) {
    assertTrue(value.startsWith(verb), value);
    return Double.parseDouble(value.substring(verb.length(), value.indexOf(" L in ")));
  }
}
