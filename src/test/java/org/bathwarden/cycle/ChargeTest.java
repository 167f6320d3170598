package org.bathwarden.cycle;

import static org.bathwarden.cycle.ProcedureBench.row;
import static org.bathwarden.tank.BathState.CHARGING;
import static org.bathwarden.tank.BathState.EMPTY;
import static org.bathwarden.tank.BathState.IN_USE;
import static org.bathwarden.tank.BathState.WARMING;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Priority;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.ProcedureStepDone.Told;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;

/**
 * A charge of 1000 L at 10 %, step by step: 750 L of water, four portions of 25 L, water to 1000 L,
 * by additive volumes and by hand. Nothing expands at 20 °C. The way itself is common practice, no
 * source.
 */
class ChargeTest {

  private static final Set<AlarmKey> WATCHED =
      Set.of(
          AlarmKey.BATH_STATE_CONFLICT,
          AlarmKey.WRONG_PRODUCT,
          AlarmKey.FAST_LOSS,
          AlarmKey.FLOW_WITHOUT_ORDER,
          AlarmKey.UNBOOKED_CHANGE,
          AlarmKey.CAP_REACHED,
          AlarmKey.LEVEL_LOW);

  private static List<ProcedureBench.Row> toTheFirstPortion() {
    return List.of(
        row(
            "begun",
            p -> p.begin(ProcedureKind.CHARGE, Role.OPERATOR),
            5,
            CHARGING,
            "first_water",
            "",
            ""),
        row("too early", p -> p.tell("first_water"), 5, CHARGING, "first_water", "", ""),
        row("filled", p -> p.fill(750), 5, CHARGING, "first_water", "", ""),
        row("told", p -> p.tell("first_water"), 5, CHARGING, "circulate", "", ""),
        row("circulates", p -> {}, 185, CHARGING, "portion", "25.0", ""));
  }

  private static ProcedureBench.Row portion(String next, String litres) {
    return row("poured", p -> p.portion(25), 605, CHARGING, next, litres, "");
  }

  private static ProcedureBench charged(Mode mode) {
    return ProcedureBench.empty(mode)
        .live(WATCHED, toTheFirstPortion())
        .live(
            WATCHED,
            List.of(
                portion("portion", "25.0"),
                portion("portion", "25.0"),
                portion("portion", "25.0"),
                portion("cold_mark", "")));
  }

  @Test
  void aBathIsMadeUpStepByStep() {
    ProcedureBench people = charged(Mode.PROPOSE);
    people.live(
        WATCHED,
        List.of(
            row("mark not reached", p -> p.tell("cold_mark"), 5, CHARGING, "cold_mark", "", ""),
            row("water", p -> p.fill(1000), 5, CHARGING, "cold_mark", "", ""),
            row("told", p -> p.tell("cold_mark"), 5, WARMING, "heat", "", ""),
            row("mixes", p -> {}, 600, WARMING, "titrate", "", ""),
            row("not titrated", p -> p.tell("release"), 5, WARMING, "titrate", "", ""),
            row("titrated", p -> p.bench.titrate(), 5, WARMING, "release", "", ""),
            row("released", p -> p.tell("release"), 5, IN_USE, "", "", "")));
    assertEquals(10, people.bench.truePct(), 0.05);
    assertEquals(10, people.bench.estimate().concentrationPct(), 0.2);
    assertEquals(List.of(), people.bench.writes);
    DosingState after = people.bench.state.dosing();
    assertEquals(0, after.ledger().sinceTitrationL(Product.CONCENTRATE), "no cap is used by it");
    assertEquals(
        List.of(
            "the level shows 20 L; water to about 750 L first",
            "the level shows 850 L; the cold mark is 1000 L at this temperature",
            "the step awaited is titrate, not release"),
        people.bench.refusals());
    assertTrue(
        people.moves().stream().anyMatch(m -> m.contains("100.0 L of concentrate in 1000 L")),
        people.moves().toString());
    assertEquals(1, people.bench.facts.stream().filter(f -> charge(f)).count());
  }

  private static boolean charge(Fact fact) {
    return fact instanceof Fact.EntryTaken taken && taken.entry() instanceof Entry.Charge;
  }

  /** The table would notice: a bath one portion short is no bath at the mark. */
  @Test
  void theTableCanFail() {
    ProcedureBench people = ProcedureBench.empty(Mode.PROPOSE).live(WATCHED, toTheFirstPortion());
    assertThrows(
        AssertionError.class, () -> people.live(WATCHED, List.of(portion("cold_mark", ""))));
  }

  @Test
  void aPortionThatWasNotPouredIsNamed() {
    ProcedureBench people =
        ProcedureBench.empty(Mode.PROPOSE)
            .live(WATCHED, toTheFirstPortion())
            .live(
                WATCHED,
                List.of(
                    portion("portion", "25.0"),
                    row(
                        "told only",
                        p -> p.tell("portion", 25),
                        605,
                        CHARGING,
                        "check_portion",
                        "",
                        ""),
                    row(
                        "found out",
                        p -> p.tell("check_portion", 0),
                        5,
                        CHARGING,
                        "portion",
                        "25.0",
                        "")));
    assertTrue(
        people.moves().stream().anyMatch(m -> m.contains("the portion does not show: 25.0 L told")),
        people.moves().toString());
    assertEquals(
        25,
        people.bench.state.dosing().procedures().open().orElseThrow().charging().concentrateL());
  }

  @Test
  void aPortionPouredTwiceIsNamedAndShortensTheRest() {
    ProcedureBench people =
        ProcedureBench.empty(Mode.PROPOSE)
            .live(WATCHED, toTheFirstPortion())
            .live(
                WATCHED,
                List.of(
                    row(
                        "twice",
                        p -> {
                          p.pour(25);
                          p.portion(25);
                        },
                        605,
                        CHARGING,
                        "check_portion",
                        "",
                        ""),
                    row(
                        "found out",
                        p -> p.tell("check_portion", 50),
                        5,
                        CHARGING,
                        "portion",
                        "25.0",
                        ""),
                    portion("portion", "25.0"),
                    portion("cold_mark", "")));
    assertTrue(
        people.moves().stream().anyMatch(m -> m.contains("poured twice")),
        people.moves().toString());
  }

  @Test
  void anotherProductInTheDrumStopsTheCharge() {
    ProcedureBench people = ProcedureBench.empty(Mode.PROPOSE).live(WATCHED, toTheFirstPortion());
    people.bench.drumPct = 0;
    people.live(
        WATCHED,
        List.of(
            row("poured", p -> p.portion(25), 605, CHARGING, "check_portion", "", "wrong-product"),
            row(
                "operator",
                p -> p.tell("check_portion", 25),
                5,
                CHARGING,
                "check_portion",
                "",
                "wrong-product"),
            row(
                "chemist, not reset",
                p -> p.tell("check_portion", Role.CHEMIST, Told.litres(0)),
                5,
                CHARGING,
                "check_portion",
                "",
                "wrong-product")));
    assertEquals(Priority.HIGH, people.bench.said(AlarmKey.WRONG_PRODUCT).priority());
    assertTrue(
        people.bench.state.dosing().interlocks().latched().contains(Cause.RESPONSE_MISMATCH));
    people.tell("check_portion", Role.CHEMIST, Told.NOTHING);
    people.bench.run(1);
    List<String> said = people.bench.refusals();
    assertEquals("it needs the litres that are really in, 0 if none", said.get(said.size() - 1));
    people.bench.enter(
        new Entry.TripReset(people.bench.stamp(), Cause.RESPONSE_MISMATCH.key(), Role.CHEMIST));
    people.bench.run(5);
    people.tell("check_portion", Role.CHEMIST, Told.litres(0));
    people.bench.run(5);
    assertEquals("portion", people.step());
  }

  @Test
  void aPortionOfAnotherLotThanTheDrumsIsRefused() {
    ProcedureBench people = ProcedureBench.empty(Mode.PROPOSE);
    people.bench.enter(
        new Entry.DrumChange(
            people.bench.stamp(), Plant.PRODUCT, "lot 7", 200, true, Plant.CHECKED));
    people.live(WATCHED, toTheFirstPortion());
    Told told = Told.litres(25);
    people.tell("portion", Role.OPERATOR, of(told, "lot 9"));
    people.bench.run(5);
    assertEquals("portion", people.step());
    assertEquals(
        List.of(
            "lot 9 is told as the lot, and the drum is of lot 7: look at the label; another drum is told by"
                + " drum_change first"),
        people.bench.refusals().subList(1, 2));
    people.tell("portion", Role.OPERATOR, of(told, "LOT 7"));
    people.bench.run(5);
    assertEquals("mix", people.step());
  }

  private static Told of(Told told, String lot) {
    return new Told(
        told.litres(), told.temperatureC(), told.route(), told.document(), Optional.of(lot));
  }

  @Test
  void nothingIsProposedIntoWarmOrStillWaterOrFromAnUnknownDrum() {
    ProcedureBench people = ProcedureBench.empty(Mode.PROPOSE).live(WATCHED, toTheFirstPortion());
    people.live(
        WATCHED,
        List.of(
            row("still", p -> p.bench.without(Permit.CIRCULATION), 5, CHARGING, "portion", "", ""),
            row("five minutes", p -> {}, 300, CHARGING, "portion", "", "bath-state-conflict"),
            row(
                "on again",
                p -> p.bench.with(Permit.CIRCULATION),
                90,
                CHARGING,
                "portion",
                "25.0",
                ""),
            row("warm", p -> p.bench.temperatureC = 41, 5, CHARGING, "portion", "", ""),
            row("cool", p -> p.bench.temperatureC = 20, 90, CHARGING, "portion", "25.0", ""),
            row(
                "drum out",
                p -> p.bench.without(Permit.CONCENTRATE_AVAILABLE),
                65,
                CHARGING,
                "portion",
                "",
                "")));
    assertTrue(people.guide().orElseThrow().awaits().contains("what is in the drum"));
    people.portion(25);
    people.bench.run(5);
    assertEquals("portion", people.step());
  }

  /** The pump is left in command: nothing is ordered until the bath is released. */
  @Test
  void commandModeOrdersNothingWhileABathIsMadeUp() {
    ProcedureBench people = charged(Mode.COMMAND);
    people.fill(1000);
    people.tell("cold_mark");
    people.bench.run(900);
    assertEquals(WARMING, people.bath());
    assertEquals(Mode.COMMAND, people.bench.state.dosing().mode());
    assertEquals(List.of(), people.bench.submits());
    assertEquals(
        0,
        people
            .bench
            .plc()
            .memory(0)
            .image()
            .get(org.bathwarden.simulator.plc.FromPlc.CONCENTRATE_TOTAL_ML));
  }

  /** What the panel pumps is the charge's own: no cap, and not booked twice from the drum. */
  @Test
  void aPortionMayBePumpedAtThePanel() {
    ProcedureBench people = ProcedureBench.empty(Mode.PROPOSE).live(WATCHED, toTheFirstPortion());
    people.bench.enter(
        new Entry.DrumChange(
            people.bench.stamp(), Plant.PRODUCT, "lot 7", 200, true, Plant.CHECKED));
    people.bench.panelKind = 1;
    people.bench.run(250);
    people.bench.panelKind = 0;
    people.tell("portion", 25);
    people.bench.run(610);
    DosingState after = people.bench.state.dosing();
    assertEquals("portion", people.step(), people.moves().toString());
    assertEquals(175, after.drum().litresLeft(), 0.5);
    assertEquals(0, after.ledger().sinceTitrationL(Product.CONCENTRATE));
  }

  @Test
  void aChargeBeginsOnlyInAnEmptyTankAndOnlyOnce() {
    ProcedureBench people = new ProcedureBench(Mode.PROPOSE, 300, 1, EMPTY);
    people.begin(ProcedureKind.CHARGE, Role.OPERATOR);
    people.bench.run(2);
    assertTrue(people.bench.refusals().get(0).contains("the level shows 300 L"));
    people.bench.volumeL = 20;
    people.bench.run(200);
    people.begin(ProcedureKind.CHARGE, Role.OPERATOR);
    people.begin(ProcedureKind.CHARGE, Role.OPERATOR);
    people.bench.run(2);
    assertEquals(
        "charge is open, at its step first_water: finish it, or procedure_abandon",
        people.bench.refusals().get(1));
    people.bench.enter(
        new Entry.Addition(
            people.bench.stamp(), Product.WATER, 10, false, java.util.Optional.empty()));
    people.bench.run(2);
    assertEquals(2, people.bench.refusals().size(), "water may be told as ever");
  }

  @Test
  void nothingOfItComesOverMqtt() {
    ProcedureBench people = ProcedureBench.empty(Mode.PROPOSE);
    people.bench.enter(
        new Entry.ProcedureBegun(
            people.bench.stamp(org.bathwarden.tank.Stamp.Channel.MQTT),
            ProcedureKind.CHARGE,
            Role.OPERATOR,
            false));
    people.bench.run(2);
    assertEquals(EMPTY, people.bath());
    assertTrue(people.bench.refusals().get(0).contains("over MQTT"));
  }

  @Test
  void anAbandonedChargeIsNoBath() {
    ProcedureBench people = ProcedureBench.empty(Mode.PROPOSE).live(WATCHED, toTheFirstPortion());
    people.bench.enter(new Entry.ProcedureAbandoned(people.bench.stamp(), "wrong tank"));
    people.bench.enter(
        new Entry.BathChange(people.bench.stamp(), org.bathwarden.tank.BathState.WARMING));
    people.bench.run(2);
    assertEquals(CHARGING, people.bath());
    assertTrue(people.bench.refusals().get(1).contains("not told what is in the tank"));
    people.bench.enter(
        new Entry.BathChange(people.bench.stamp(), org.bathwarden.tank.BathState.OUT_OF_USE));
    people.fill(950);
    people.bench.enter(
        new Entry.BathChange(
            people.bench.stamp(), org.bathwarden.tank.BathState.STOOD_DOWN, Role.CHEMIST));
    people.bench.run(60);
    assertTrue(people.bench.state.dosing().bath().titrateBeforeDose().isPresent());
    assertFalse(people.guide().isPresent());
  }

  /** A new process in the middle of a portion: it mixes on and is judged as told. */
  @Test
  void aRestartInTheMiddleChangesNothing() {
    ProcedureBench people = ProcedureBench.empty(Mode.PROPOSE).live(WATCHED, toTheFirstPortion());
    people.portion(25);
    people.bench.run(300);
    people.bench.past(DosingState::restarted);
    people.live(
        WATCHED,
        List.of(
            row("mixes on", p -> {}, 290, CHARGING, "mix", "", ""),
            row("judged", p -> {}, 15, CHARGING, "portion", "25.0", "")));
  }
}
