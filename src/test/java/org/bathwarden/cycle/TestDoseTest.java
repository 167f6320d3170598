package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;

/** One small dose that a named person orders to prove something. */
class TestDoseTest extends ProofCase {

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
}
