package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;

/** The first portion of a new lot is checked by what it does to the conductivity. */
class ResponseTest {

  /** A weak bath, and a new drum that holds {@code drumPct}. */
  private static Bench afterFirstPortion(double drumPct) {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.drumPct = drumPct;
    bench.enter(
        new Entry.DrumChange(bench.stamp(), Plant.PRODUCT, "lot 2", 200, true, Plant.CHECKED));
    bench.granted = Set.of();
    bench.believe(8.5);
    bench.run(180);
    bench.granted = Set.of(Plant.DRUM, Plant.MAIN);
    bench.until(
        120,
        () ->
            bench.events(DosingEvent.OrderClosed.class).stream()
                .anyMatch(closed -> closed.deliveredMl() > 0));
    bench.until(900, () -> !bench.last.view().verdict().active().contains(Cause.MIXING_WAIT));
    return bench;
  }

  private static long concentrateOrders(Bench bench) {
    return bench.submits().stream().filter(s -> s.block().product() == Product.CONCENTRATE).count();
  }

  @Test
  void waterInTheDrumStopsConcentrateBeforeTheSecondPortion() {
    Bench bench = afterFirstPortion(0);

    assertTrue(bench.last.view().verdict().active().contains(Cause.RESPONSE_MISMATCH));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.life(AlarmKey.WRONG_PRODUCT));
    bench.run(600);
    assertEquals(1, concentrateOrders(bench));

    bench.enter(new Entry.TripReset(bench.stamp(), Cause.RESPONSE_MISMATCH.key(), Role.OPERATOR));
    bench.run(1);
    assertTrue(bench.last.view().verdict().active().contains(Cause.RESPONSE_MISMATCH));
    bench.enter(new Entry.TripReset(bench.stamp(), Cause.RESPONSE_MISMATCH.key(), Role.CHEMIST));
    bench.run(120);
    assertFalse(bench.last.view().verdict().active().contains(Cause.RESPONSE_MISMATCH));
    assertEquals(AlarmLife.LATCHED_UNACKNOWLEDGED, bench.life(AlarmKey.WRONG_PRODUCT));
  }

  @Test
  void aDrumThreeTimesTooStrongIsSeen() {
    Bench bench = afterFirstPortion(300);

    assertTrue(bench.last.view().verdict().active().contains(Cause.RESPONSE_MISMATCH));
  }

  @Test
  void theRightProductPassesAndTheNextPortionFollows() {
    Bench bench = afterFirstPortion(100);

    assertFalse(bench.last.view().verdict().active().contains(Cause.RESPONSE_MISMATCH));
    assertFalse(bench.state.watches().response().unproved());
    bench.until(60, () -> concentrateOrders(bench) == 2);
  }

  @Test
  void aLotThatIsAFifthWeakerIsNoOtherProduct() {
    Bench bench = afterFirstPortion(80);

    assertFalse(bench.last.view().verdict().active().contains(Cause.RESPONSE_MISMATCH));
  }

  @Test
  void heatingIsNotTakenForProduct() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.drumPct = 0;
    bench.enter(
        new Entry.DrumChange(bench.stamp(), Plant.PRODUCT, "lot 2", 200, true, Plant.CHECKED));
    bench.granted = Set.of();
    bench.believe(8.5);
    bench.run(180);
    bench.granted = Set.of(Plant.DRUM, Plant.MAIN);
    for (int i = 0; i < 900 && !bench.state.watches().response().mismatch(); i++) {
      // 6 K within the wait: more conductivity than the portion would have brought.
      bench.temperatureC = Math.min(26, bench.temperatureC + 0.02);
      bench.run(1);
    }

    assertTrue(bench.state.watches().response().mismatch());
  }

  @Test
  void withoutAProbeTheCheckIsPutOff() {
    Bench bench = Bench.ready(Mode.COMMAND);
    bench.drumPct = 0;
    bench.enter(
        new Entry.DrumChange(bench.stamp(), Plant.PRODUCT, "lot 2", 200, true, Plant.CHECKED));
    bench.sensorFaults = 1 << 2;
    bench.granted = Set.of();
    bench.believe(8.5);
    bench.run(180);
    bench.granted = Set.of(Plant.DRUM, Plant.MAIN);
    bench.until(900, () -> concentrateOrders(bench) == 1);
    bench.run(700);

    assertFalse(bench.last.view().verdict().active().contains(Cause.RESPONSE_MISMATCH));
    assertTrue(bench.state.watches().response().unproved());
  }
}
