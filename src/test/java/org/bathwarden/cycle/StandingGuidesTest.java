package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import org.bathwarden.dosing.Cause;
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;

/** Drum change and Monday start: nobody begins them. Common practice, no source. */
class StandingGuidesTest {

  private final Bench bench = Bench.ready(Mode.COMMAND);

  private List<String> steps() {
    return bench.guides().stream().map(guide -> guide.procedure() + " " + guide.step()).toList();
  }

  private boolean blocked(Cause cause) {
    return bench.last.view().verdict().of(Product.CONCENTRATE).blockedBy().contains(cause);
  }

  private void drum(boolean primed) {
    bench.enter(
        new Entry.DrumChange(bench.stamp(), Plant.PRODUCT, "lot 7", 200, primed, Plant.CHECKED));
    bench.run(2);
  }

  @Test
  void anEmptyDrumLeadsToAKnownPrimedAndProvenOne() {
    assertEquals(List.of(), steps());
    bench.without(Permit.CONCENTRATE_AVAILABLE);
    bench.run(70);
    assertEquals(List.of("drum_change drum"), steps());
    bench.with(Permit.CONCENTRATE_AVAILABLE);
    bench.run(10);
    assertTrue(blocked(Cause.DRUM_UNKNOWN), "the suction is closed, the drum still unknown");
    drum(false);
    assertEquals(List.of("drum_change prime"), steps());
    assertTrue(blocked(Cause.DRUM_UNKNOWN));
    drum(true);
    assertEquals(List.of("drum_change first_portion"), steps());
    bench.enter(new Entry.TripReset(bench.stamp(), Cause.DRUM_UNKNOWN.key(), Role.CHEMIST));
    bench.believe(8.5);
    bench.until(1800, () -> !bench.state.dosing().drum().firstPortion());
    assertEquals(List.of(), steps());
    // Half of the portion that a bath 1.5 % below target would get: 0.25 H = 5.68 L (H = 22.7 L).
    assertTrue(bench.submits().get(0).block().volumeMl() <= 2850, bench.submits().toString());
  }

  /** A charge checks each portion by itself: its guide is the only one. */
  @Test
  void aNewLotIsNotGuidedTwiceWhileABathIsMadeUp() {
    ProcedureBench people = ProcedureBench.empty(Mode.PROPOSE);
    people.bench.enter(
        new Entry.DrumChange(
            people.bench.stamp(), Plant.PRODUCT, "lot 7", 200, true, Plant.CHECKED));
    people.bench.run(2);
    assertEquals("drum_change", people.bench.guides().get(0).procedure());
    people.begin(ProcedureKind.CHARGE, Role.OPERATOR);
    people.bench.run(5);
    assertEquals(
        List.of("charge"), people.bench.guides().stream().map(g -> g.procedure()).toList());
  }

  @Test
  void aWeekendIsLedThroughCirculationWarmthMixingAndTitration() {
    bench.without(Permit.CIRCULATION);
    bench.temperatureC = 14.5;
    bench.coarse(Duration.ofHours(25), 60);
    assertEquals(List.of("cold_start circulate"), steps());
    bench.temperatureC = 13;
    bench.with(Permit.CIRCULATION);
    bench.run(5);
    assertEquals(List.of("cold_start warm"), steps());
    bench.temperatureC = 16;
    bench.run(5);
    assertEquals(List.of("cold_start mix"), steps());
    assertTrue(blocked(Cause.BATH_NOT_MIXED));
    bench.run(610);
    assertEquals(List.of("cold_start titrate"), steps());
    assertTrue(blocked(Cause.BATH_NOT_TITRATED));
    bench.titrate();
    bench.run(70);
    assertEquals(List.of(), steps(), bench.state.estimate().verdicts().toString());
  }
}
