package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Priority;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.ProofItem;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.dosing.ProofStatus;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

/** A tank on a real line, from its first start to command mode, through whole passes. */
class ProofTest {

  /** A weak bath, so that command mode would order at once. */
  private static Bench unproved() {
    Bench bench = new Bench(Proving.demanding(Plant.sheet(Mode.COMMAND)), 960, 8.5);
    bench.run(10);
    bench.titrate();
    bench.coarse(Duration.ofSeconds(150), 2);
    bench.titrate();
    bench.coarse(Duration.ofSeconds(150), 2);
    return bench;
  }

  private static void tell(Bench bench, String item, boolean passed, double measured) {
    OptionalDouble other =
        Double.isNaN(measured) ? OptionalDouble.empty() : OptionalDouble.of(measured);
    bench.enter(new Entry.ProofResult(bench.stamp(), item, passed, other, ""));
    bench.run(1);
  }

  private static void pass(Bench bench, String item) {
    tell(bench, item, true, Double.NaN);
  }

  private static List<String> refusals(Bench bench) {
    return bench.facts.stream()
        .filter(Fact.EntryRefused.class::isInstance)
        .map(fact -> ((Fact.EntryRefused) fact).reason())
        .toList();
  }

  private static Map<String, ProofStatus.State> states(Bench bench) {
    return ProofStatus.of(
            bench.sheet.dosing().proofs(),
            bench.state.dosing().proofs().given(),
            bench.now().steady())
        .stream()
        .collect(Collectors.toMap(status -> status.item().key(), ProofStatus::state));
  }

  private static List<String> open(Bench bench) {
    return ProofStatus.open(
            bench.sheet.dosing().proofs(),
            bench.state.dosing().proofs().given(),
            bench.now().steady())
        .stream()
        .map(status -> status.item().key())
        .toList();
  }

  private static void provePoints(Bench bench) {
    Map<Point, Double> shown = new EnumMap<>(Point.class);
    for (Point point : List.of(Point.LEVEL, Point.TEMPERATURE, Point.CONDUCTIVITY, Point.PH)) {
      shown.put(point, bench.last.view().signals().value(point));
    }
    shown.forEach((point, value) -> tell(bench, "point-" + point.item(), true, value));
  }

  private static void provePermits(Bench bench) {
    for (ProofItem item : Proving.items()) {
      if (item.subject() instanceof ProofItem.PermitActs acts) {
        bench.without(acts.permit());
        bench.run(7);
        bench.with(acts.permit());
        bench.run(7);
        pass(bench, item.key());
        bench.enter(new Entry.Release(bench.stamp()));
        bench.run(1);
        for (Cause latched : bench.state.dosing().interlocks().latched()) {
          bench.enter(new Entry.TripReset(bench.stamp(), latched.key(), Role.ENGINEER));
        }
        bench.run(1);
      }
    }
    bench.coarse(Duration.ofMinutes(3), 2);
  }

  private static Entry.TestDose dose(Bench bench, Product product, boolean watchdog) {
    Entry.TestDose dose = new Entry.TestDose(bench.stamp(), product, watchdog);
    bench.enter(dose);
    bench.run(1);
    return dose;
  }

  private static void await(Bench bench) {
    bench.until(700, () -> bench.state.dosing().proofs().testDose().isEmpty());
    bench.until(60, () -> !bench.state.dosing().leaving());
  }

  /** Everything at the line, as an engineer would do it. */
  private static Bench proved() {
    Bench bench = unproved();
    provePoints(bench);
    provePermits(bench);
    dose(bench, Product.WATER, true);
    await(bench);
    pass(bench, "watchdog");
    for (Product product : List.of(Product.CONCENTRATE, Product.WATER)) {
      bench.coarse(Duration.ofMinutes(12), 2);
      // A probe that shows the same for an hour counts as frozen.
      bench.temperatureC += 0.3;
      bench.ph += 0.05;
      dose(bench, product, false);
      await(bench);
      long ml = bench.state.dosing().proofs().results().get("dose-" + product.word()).deliveredMl();
      tell(bench, "dose-" + product.word(), true, ml / 1000.0);
    }
    bench.loads++;
    bench.run(1);
    pass(bench, "point-concentrate_total_ml");
    pass(bench, "point-water_total_ml");
    pass(bench, "point-loads_total");
    return bench;
  }

  @Test
  void anUnprovedTankProposesAndWritesNothing() {
    Bench bench = unproved();
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
    assertEquals(List.of(), bench.writes);
    assertEquals(1, bench.events(DosingEvent.ProposalMade.class).size());
    String reason = bench.events(DosingEvent.ModeChanged.class).get(0).reason();
    assertTrue(reason.contains("not_proved"), reason);
    assertTrue(bench.state.alarm().active(AlarmKey.PROOF_DUE));
  }

  @Test
  void commandIsRefusedWithEverythingThatIsMissing() {
    Bench bench = unproved();
    bench.enter(new Entry.ModeRequest(bench.stamp(), Mode.COMMAND));
    bench.run(2);
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
    String reason = refusals(bench).get(0);
    for (String item : open(bench)) {
      assertTrue(reason.contains(item + " (never)"), reason);
    }
  }

  @Test
  void onceAllIsProvedItCommands() {
    Bench bench = proved();
    assertEquals(List.of(), open(bench), () -> refusals(bench).toString());
    assertEquals(List.of(), refusals(bench));
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
    bench.enter(new Entry.ModeRequest(bench.stamp(), Mode.COMMAND));
    bench.run(60);
    assertEquals(Mode.COMMAND, bench.state.dosing().mode(), () -> refusals(bench).toString());
    assertFalse(bench.state.alarm().active(AlarmKey.PROOF_DUE));
    int before = bench.submits().size();
    bench.until(1500, () -> bench.submits().size() > before);
    assertEquals(3, before, "the test doses");
  }

  @Test
  void theWatchdogDoseIsStoppedByThePlcAndWithoutAnAbandon() {
    Bench bench = unproved();
    provePoints(bench);
    provePermits(bench);
    dose(bench, Product.WATER, true);
    bench.until(120, () -> !bench.events(DosingEvent.TestDoseEnded.class).isEmpty());
    DosingEvent.TestDoseEnded end = bench.events(DosingEvent.TestDoseEnded.class).get(0);
    assertTrue(end.good(), end.words());
    assertTrue(end.words().contains("controller heartbeat lost"), end.words());
    assertTrue(bench.writes.stream().noneMatch(LineWrite.Abandon.class::isInstance));
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
  }

  /** Its interlocks hold: a test dose waits, and is stopped, like any other. */
  @Test
  void aTestDoseIsStoppedByAPermit() {
    Bench bench = unproved();
    provePoints(bench);
    provePermits(bench);
    dose(bench, Product.WATER, false);
    bench.until(60, () -> bench.lastInput.image().words().orElseThrow().orderDeliveredMl() > 0);
    bench.without(Permit.DRAIN_CLOSED);
    await(bench);
    DosingEvent.TestDoseEnded end = bench.events(DosingEvent.TestDoseEnded.class).get(0);
    assertFalse(end.good(), end.words());
    bench.with(Permit.DRAIN_CLOSED);
    bench.run(10);
    tell(bench, "dose-water", true, 1);
    List<String> refusals = refusals(bench);
    String last = refusals.get(refusals.size() - 1);
    assertTrue(last.startsWith("dose-water is not proved: stopped"), last);
  }

  @Test
  void noTestDoseBeforeWhatStopsItIsProved() {
    Bench bench = unproved();
    dose(bench, Product.WATER, false);
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
    String reason = refusals(bench).get(0);
    assertTrue(reason.contains("permit-drain-closed (never)"), reason);
    assertTrue(reason.contains("point-level_l (never)"), reason);
    bench.run(60);
    assertEquals(List.of(), bench.writes);
  }

  @Test
  void noTestDoseWhileATripIsLatchedAndItSaysWhatResetsIt() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.enter(new Entry.ModeRequest(bench.stamp(), Mode.PROPOSE));
    bench.without(Permit.OVERFLOW_CLEAR);
    bench.run(5);
    bench.with(Permit.OVERFLOW_CLEAR);
    bench.run(5);
    dose(bench, Product.WATER, false);
    assertTrue(bench.state.dosing().proofs().testDose().isEmpty());
    String reason = refusals(bench).get(0);
    assertTrue(reason.contains("overflow_float") && reason.contains("enter trip_reset"), reason);
    bench.enter(new Entry.TripReset(bench.stamp(), Cause.OVERFLOW_FLOAT.key(), Role.OPERATOR));
    bench.run(1);
    dose(bench, Product.WATER, false);
    assertTrue(bench.state.dosing().proofs().testDose().isPresent());
  }

  /** It would flow when nobody stands at the tank any more. */
  @Test
  void noTestDoseWhileTheLastFlowMixes() {
    Bench bench = unproved();
    provePoints(bench);
    provePermits(bench);
    dose(bench, Product.WATER, false);
    await(bench);
    bench.coarse(Duration.ofMinutes(1), 2);
    dose(bench, Product.CONCENTRATE, false);
    assertTrue(bench.state.dosing().proofs().testDose().isEmpty());
    List<String> said = refusals(bench);
    String reason = said.get(said.size() - 1);
    assertTrue(
        reason.matches("the last flow mixes for another \\d+ min: ask for it then.*"), reason);
    bench.coarse(Duration.ofMinutes(11), 2);
    dose(bench, Product.CONCENTRATE, false);
    assertTrue(bench.state.dosing().proofs().testDose().isPresent());
  }

  @Test
  void aTestDoseIsOneOrderAndThenCommandIsLeft() {
    Bench bench = unproved();
    provePoints(bench);
    provePermits(bench);
    dose(bench, Product.CONCENTRATE, false);
    await(bench);
    bench.coarse(Duration.ofMinutes(30), 2);
    assertEquals(1, bench.submits().size());
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
    double smallestL = bench.sheet.dosing().limits().concentrate().smallestPortionL();
    assertEquals(Math.ceil(1000 * smallestL), bench.submits().get(0).block().volumeMl());
  }

  @Test
  void whatTheControllerDidNotSeeIsNoProof() {
    Bench bench = unproved();
    pass(bench, "permit-drain-closed");
    pass(bench, "point-loads_total");
    pass(bench, "watchdog");
    pass(bench, "point-level_l");
    tell(bench, "point-level_l", true, 900);
    pass(bench, "no-such-item");
    List<String> refusals = refusals(bench);
    assertEquals(6, refusals.size());
    assertTrue(refusals.get(0).contains("has not acted"), refusals.get(0));
    assertTrue(refusals.get(1).contains("has not moved"), refusals.get(1));
    assertTrue(refusals.get(2).contains("no test dose"), refusals.get(2));
    assertTrue(refusals.get(3).contains("another instrument"), refusals.get(3));
    assertTrue(refusals.get(4).contains("60.00 apart, 20.00 allowed"), refusals.get(4));
    assertTrue(refusals.get(5).contains("there are point-level_l, "), refusals.get(5));
    assertEquals(List.of(), bench.events(DosingEvent.Proved.class));
  }

  @Test
  void aPermitMustBeGivenAgain() {
    Bench bench = unproved();
    bench.without(Permit.WATER_AVAILABLE);
    bench.run(7);
    pass(bench, "permit-water-available");
    assertTrue(refusals(bench).get(0).contains("still acts"), refusals(bench).get(0));
    bench.with(Permit.WATER_AVAILABLE);
    bench.run(7);
    pass(bench, "permit-water-available");
    assertEquals(ProofStatus.State.PROVED, states(bench).get("permit-water-available"));
    assertEquals("A. Operator", bench.events(DosingEvent.Proved.class).get(0).proof().author());
  }

  @Test
  void aProofThatFailsTakesCommandAway() {
    Bench bench = commanding();
    tell(bench, "permit-overflow-clear", false, Double.NaN);
    bench.run(2);
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
    assertEquals(ProofStatus.State.FAILED, states(bench).get("permit-overflow-clear"));
    assertEquals(Priority.MEDIUM, bench.said(AlarmKey.PROOF_DUE).priority());
  }

  private static Bench commanding() {
    Bench bench = unproved();
    bench.past(d -> Proving.allProved(d, bench, Duration.ZERO));
    bench.enter(new Entry.ModeRequest(bench.stamp(), Mode.COMMAND));
    bench.run(3);
    assertEquals(Mode.COMMAND, bench.state.dosing().mode());
    return bench;
  }

  @Test
  void aChangedPlaceVoidsItsOwnProofAndNamesWhatChanged() {
    Bench bench = commanding();
    List<ProofItem> items = new ArrayList<>();
    for (ProofItem item : Proving.items()) {
      boolean moved = item.key().equals("point-ph");
      items.add(moved ? new ProofItem(item.subject(), true, List.of("register 7")) : item);
    }
    bench.sheet =
        Proving.planned(
            bench.sheet,
            new ProofPlan(
                Optional.empty(), items, ProofPlan.INTERVAL, ProofPlan.WARNING, "another"));
    bench.run(1);
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
    assertEquals(List.of("point-ph"), open(bench));
    assertEquals(
        "point-ph (void: was place of point-ph; is register 7)",
        bench.said(AlarmKey.PROOF_DUE).evidence());
  }

  @Test
  void itIsWarnedBeforeAProofIsOverdueAndThenCommandEnds() {
    Bench bench = commanding();
    Duration left = Duration.ofDays(1);
    bench.past(d -> Proving.allProved(d, bench, ProofPlan.INTERVAL.minus(left)));
    bench.run(2);
    assertEquals(Mode.COMMAND, bench.state.dosing().mode());
    assertTrue(bench.state.alarm().active(AlarmKey.PROOF_DUE));
    assertEquals(Priority.LOW, bench.said(AlarmKey.PROOF_DUE).priority());
    bench.past(d -> Proving.allProved(d, bench, ProofPlan.INTERVAL));
    bench.run(1);
    assertTrue(bench.last.view().verdict().active().contains(Cause.PROOF_OVERDUE));
    assertFalse(bench.last.view().verdict().of(Product.WATER).allowed());
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
    bench.run(1);
    assertEquals(Priority.MEDIUM, bench.said(AlarmKey.PROOF_DUE).priority());
  }

  @Test
  void aTestDoseDoesNotOutliveItsProcess() {
    Bench bench = unproved();
    provePoints(bench);
    provePermits(bench);
    dose(bench, Product.WATER, false);
    bench.until(60, () -> bench.lastInput.image().words().orElseThrow().orderDeliveredMl() > 0);
    bench.past(d -> d.restarted());
    assertEquals(Mode.PROPOSE, bench.state.dosing().mode());
    bench.coarse(Duration.ofMinutes(5), 2);
    assertEquals(1, bench.submits().size());
    assertTrue(bench.state.dosing().book().open().isEmpty(), "settled by reading");
  }

  @Test
  void overMqttNothingIsProvedAndNothingDosed() {
    Bench bench = unproved();
    Stamp claim = bench.stamp(Stamp.Channel.MQTT);
    bench.enter(new Entry.ProofResult(claim, "watchdog", false, OptionalDouble.empty(), ""));
    bench.enter(new Entry.TestDose(bench.stamp(Stamp.Channel.MQTT), Product.WATER, false));
    bench.run(2);
    assertEquals(2, refusals(bench).size());
    assertEquals(Map.of(), bench.state.dosing().proofs().given());
  }

  @Test
  void inARehearsalNothingIsDemanded() {
    Bench bench = Bench.ready(Mode.COMMAND);
    assertEquals(Mode.COMMAND, bench.state.dosing().mode());
    assertFalse(bench.state.alarm().active(AlarmKey.PROOF_DUE));
  }
}
