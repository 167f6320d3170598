package org.bathwarden.cycle;

import static org.bathwarden.cycle.ProcedureBench.row;
import static org.bathwarden.tank.BathState.CHARGING;
import static org.bathwarden.tank.BathState.DRAINING;
import static org.bathwarden.tank.BathState.EMPTY;
import static org.bathwarden.tank.BathState.IN_USE;
import static org.bathwarden.tank.BathState.STOOD_DOWN;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.dosing.Cause;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;

/**
 * Drains and change-outs, with the site's limit of 40 °C. The way is common practice, no source.
 */
class DrainTest {

  private static final Set<AlarmKey> WATCHED =
      Set.of(
          AlarmKey.BATH_STATE_CONFLICT,
          AlarmKey.FAST_LOSS,
          AlarmKey.LEVEL_BELOW_HEATER_GUARD,
          AlarmKey.LEVEL_LOW,
          AlarmKey.UNBOOKED_CHANGE);

  private static ProcedureBench inUse(Mode mode) {
    ProcedureBench people = new ProcedureBench(mode, 1000, 10, IN_USE);
    people.bench.ready();
    people.bench.run(30);
    return people;
  }

  private static void hot(ProcedureBench people, double temperatureC) {
    for (double t = people.bench.temperatureC; Math.abs(t - temperatureC) > 0.01; ) {
      t += Math.max(-0.05, Math.min(0.05, temperatureC - t));
      people.bench.temperatureC = t;
      people.bench.run(1);
    }
  }

  private static List<ProcedureBench.Row> drained(ProcedureKind kind) {
    return List.of(
        row("begun", p -> p.begin(kind, Role.CHEMIST), 5, STOOD_DOWN, "cool", "", ""),
        row("cools", p -> hot(p, 39), 5, STOOD_DOWN, "permit", "", ""),
        row(
            "no paper",
            p -> p.tell("permit", Role.CHEMIST, Entry.ProcedureStepDone.Told.NOTHING),
            5,
            STOOD_DOWN,
            "permit",
            "",
            ""),
        row("operator", p -> p.permit(Role.OPERATOR), 5, STOOD_DOWN, "permit", "", ""),
        row("permit", p -> p.permit(Role.CHEMIST), 5, DRAINING, "drain", "", ""),
        row("runs out", DrainTest::open, 5, DRAINING, "drain", "", ""),
        row("open still", p -> p.tell("drain", 980), 5, DRAINING, "drain", "", ""),
        row("too little told", DrainTest::closeAndTellLittle, 5, DRAINING, "drain", "", ""));
  }

  private static void open(ProcedureBench p) {
    p.bench.without(Permit.DRAIN_CLOSED);
    p.drainTo(20);
  }

  private static void closeAndTellLittle(ProcedureBench p) {
    p.bench.with(Permit.DRAIN_CLOSED);
    p.bench.run(10);
    p.tell("drain", 400);
  }

  @Test
  void aBathIsDrainedByANamedPersonWithPaper() {
    ProcedureBench people = inUse(Mode.COMMAND);
    hot(people, 45);
    int orders = people.bench.submits().size();
    people.live(WATCHED, drained(ProcedureKind.DRAIN));
    people.live(WATCHED, List.of(row("told", p -> p.tell("drain", 980), 900, EMPTY, "", "", "")));
    assertEquals(orders, people.bench.submits().size(), "nothing is dosed meanwhile");
    assertEquals(
        List.of(
            "it needs the waste route (route) and the number of its document",
            "permit is a chemist's to tell"),
        people.bench.refusals().subList(0, 2));
    assertTrue(
        people.moves().stream()
            .anyMatch(m -> m.contains("980 L to neutralising tank 2, document W-118")),
        people.moves().toString());
    assertFalse(people.bench.state.dosing().interlocks().latched().contains(Cause.FAST_LOSS));
  }

  /** The control: the same fall without a declared drain is a leak, and blocks both. */
  @Test
  void theSameFallWithoutADeclaredDrainIsALeak() {
    ProcedureBench people = inUse(Mode.COMMAND);
    assertThrows(
        AssertionError.class,
        () ->
            people.live(
                WATCHED, List.of(row("runs out", p -> p.drainTo(650), 30, IN_USE, "", "", ""))));
    assertTrue(people.bench.state.alarm().active(AlarmKey.FAST_LOSS));
    assertTrue(people.bench.state.dosing().interlocks().latched().contains(Cause.FAST_LOSS));
  }

  @Test
  void partOfABathMayBeDrainedAndIsBookedAsTakenOut() {
    ProcedureBench people = inUse(Mode.PROPOSE);
    people.begin(ProcedureKind.DRAIN, Role.CHEMIST);
    people.bench.run(5);
    people.permit(Role.CHEMIST);
    people.bench.run(5);
    people.drainTo(800);
    people.live(
        WATCHED, List.of(row("told", p -> p.tell("drain", 200), 5, STOOD_DOWN, "", "", "")));
    assertEquals(
        1,
        people.bench.facts.stream()
            .filter(f -> f instanceof Fact.EntryTaken t && t.entry() instanceof Entry.Removal)
            .count());
    assertEquals(800, people.bench.estimate().volumeL(), 40);
  }

  @Test
  void aProbeThatShowsNothingIsReplacedByAThermometer() {
    ProcedureBench people = inUse(Mode.PROPOSE);
    people.bench.shown.put(Point.TEMPERATURE, Reading.bad(Quality.Reason.FAULT_DECLARED, Plant.T0));
    people.begin(ProcedureKind.DRAIN, Role.CHEMIST);
    people.bench.run(5);
    people.tell("cool", Role.CHEMIST, degrees(55));
    people.bench.run(5);
    assertEquals("cool", people.step());
    people.tell("cool", Role.CHEMIST, degrees(32));
    people.bench.run(5);
    assertEquals("permit", people.step());
    assertTrue(people.bench.refusals().get(0).contains("above the site's limit of 40.0 °C"));
  }

  @Test
  void whatWasDrainedIsNotTakenWhileTheLevelShowsNothing() {
    ProcedureBench people = inUse(Mode.PROPOSE);
    hot(people, 45);
    people.live(WATCHED, drained(ProcedureKind.DRAIN));
    people.bench.shown.put(Point.LEVEL, Reading.bad(Quality.Reason.FAULT_DECLARED, Plant.T0));
    people.bench.run(5);
    people.tell("drain", 980);
    people.bench.run(5);
    assertEquals("drain", people.step());
    List<String> refusals = people.bench.refusals();
    String last = refusals.get(refusals.size() - 1);
    assertTrue(last.contains("the level is not known now"), last);
  }

  private static Entry.ProcedureStepDone.Told degrees(double temperatureC) {
    return new Entry.ProcedureStepDone.Told(
        OptionalDouble.empty(),
        OptionalDouble.of(temperatureC),
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  @Test
  void aChangeOutClosesOnlyOverAnEmptyTankAndGoesOnAsACharge() {
    ProcedureBench people = inUse(Mode.COMMAND);
    hot(people, 45);
    people.live(WATCHED, drained(ProcedureKind.CHANGE_OUT).subList(0, 5));
    people.drainTo(500);
    people.live(
        WATCHED,
        List.of(
            row("half", p -> p.tell("drain", 500), 5, DRAINING, "drain", "", ""),
            row("all", p -> p.drainTo(15), 10, DRAINING, "drain", "", ""),
            row("told", p -> p.tell("drain", 985), 5, EMPTY, "clean", "", ""),
            row("cleaned", p -> p.tell("clean"), 5, CHARGING, "first_water", "", ""),
            row("filled", p -> p.fill(750), 5, CHARGING, "first_water", "", "")));
    assertTrue(
        people.bench.refusals().stream()
            .anyMatch(r -> r.contains("a change-out closes only over an empty tank")));
  }

  @Test
  void anAbandonedDrainLeavesABathThatStandsDown() {
    ProcedureBench people = inUse(Mode.PROPOSE);
    people.begin(ProcedureKind.CHANGE_OUT, Role.CHEMIST);
    people.bench.run(5);
    people.permit(Role.CHEMIST);
    people.bench.run(5);
    people.drainTo(700);
    people.bench.enter(new Entry.ProcedureAbandoned(people.bench.stamp(), "pit is full"));
    people.live(WATCHED, List.of(row("abandoned", p -> {}, 5, STOOD_DOWN, "", "", "")));
    assertEquals(700, people.bench.estimate().volumeL(), 50);
  }

  /** Runs the old bath out: concentrate only below the low limit of 8 %. */
  @Test
  void aBathThatIsRunOutGetsConcentrateOnlyBelowTheLowLimit() {
    ProcedureBench people = inUse(Mode.COMMAND);
    people.bench.enter(
        new Entry.ProcedureBegun(
            people.bench.stamp(), ProcedureKind.CHANGE_OUT, Role.CHEMIST, true));
    people.bench.believe(8.6);
    people.bench.run(900);
    assertEquals("run_out", people.step());
    assertEquals(0, concentrate(people), "above the low limit");
    people.bench.believe(7.4);
    people.bench.until(1800, () -> concentrate(people) > 0);
    people.tell("run_out");
    people.bench.run(5);
    assertEquals("permit", people.step(), people.bench.refusals().toString());
    assertEquals(STOOD_DOWN, people.bath());
  }

  private static long concentrate(ProcedureBench people) {
    return people.bench.submits().stream()
        .filter(s -> s.block().product() == Product.CONCENTRATE)
        .count();
  }

  /**
   * A tank drained while permits 3 and 7 are wired to constants: nothing knows that it is drained,
   * and still nothing refills it.
   */
  @Test
  void aTankDrainedBehindConstantPermitsIsNotRefilled() {
    Sheet constants =
        Plant.sheet(
            Mode.COMMAND, Set.of(Metal.STEEL), Set.of(Permit.DRAIN_CLOSED, Permit.NO_ONE_AT_TANK));
    Bench bench = new Bench(constants);
    bench.ready();
    int orders = bench.submits().size();
    for (double litres = 1000; litres > 30; litres -= 1.5) {
      bench.level(litres);
      bench.run(1);
    }
    bench.run(1800);
    assertEquals(IN_USE, bench.state.dosing().bath().state());
    long refills =
        bench.submits().subList(orders, bench.submits().size()).stream()
            .filter(s -> s.block().product() == Product.WATER)
            .count();
    assertTrue(refills <= 1, "water may have been on its way before the loss was known");
    Set<Cause> active = bench.last.view().verdict().active();
    assertTrue(
        active.containsAll(Set.of(Cause.FAST_LOSS, Cause.LEVEL_BELOW_MINIMUM)), active + " ");
    assertTrue(bench.volumeL < 60, bench.volumeL + " L");
    assertEquals(AlarmLife.LATCHED_UNACKNOWLEDGED, bench.life(AlarmKey.FAST_LOSS));
  }

  /** Loads through a bath that stands down are a conflict of state, and so is liquid in EMPTY. */
  @Test
  void whatSpeaksAgainstTheBathStateIsAnAlarm() {
    ProcedureBench people = inUse(Mode.PROPOSE);
    people.bench.enter(new Entry.BathChange(people.bench.stamp(), STOOD_DOWN));
    people.live(
        WATCHED,
        List.of(
            row("quiet", p -> {}, 360, STOOD_DOWN, "", "", ""),
            row("a load", p -> p.bench.loads++, 330, STOOD_DOWN, "", "", "bath-state-conflict"),
            row("none since", p -> {}, 960, STOOD_DOWN, "", "", "")));
    ProcedureBench empty = ProcedureBench.empty(Mode.PROPOSE);
    empty.live(
        WATCHED,
        List.of(
            row("quiet", p -> {}, 360, EMPTY, "", "", ""),
            row("water runs", p -> p.fill(120), 330, EMPTY, "", "", "bath-state-conflict")));
  }
}
