package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
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
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

/** A tank on a real line, from its first start to command mode, through whole passes. */
class ProofTest extends ProofCase {

  private static Map<String, ProofStatus.State> states(Bench bench) {
    return ProofStatus.of(
            bench.sheet.dosing().proofs(),
            bench.state.dosing().proofs().given(),
            bench.now().steady())
        .stream()
        .collect(Collectors.toMap(status -> status.item().key(), ProofStatus::state));
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
