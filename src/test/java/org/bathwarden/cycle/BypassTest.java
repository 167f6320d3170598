package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.PlcWords;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;

/** A bypass through the whole pass: what it frees, who is told, and how it ends. */
class BypassTest {

  private static Bench cold() {
    Bench bench = new Bench(Plant.slow(), 960, 8.5);
    bench.granted = Set.of();
    bench.ready();
    bench.titrate();
    bench.coarse(Duration.ofSeconds(140), 2);
    bench.temperatureC = 14.5;
    bench.run(70);
    assertTrue(bench.last.view().verdict().active().contains(Cause.TEMPERATURE_LOW));
    bench.granted = Set.of(Plant.DRUM, Plant.MAIN);
    bench.run(20);
    assertEquals(0, bench.submits().size());
    return bench;
  }

  private static void bypass(Bench bench, Duration duration) {
    bench.enter(
        new Entry.Bypass(
            bench.stamp(), "temperature_low", Role.ENGINEER, "heater being changed", duration));
  }

  @Test
  void aBypassLetsAnOrderOutAndItsEndStopsIt() {
    Bench bench = cold();
    bypass(bench, Duration.ofMinutes(5));
    // The interlock's own off-delay of a minute comes first.
    bench.until(
        100, () -> bench.lastInput.image().words().orElseThrow().orderState() == PlcWords.RUNNING);
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.life(AlarmKey.BYPASS_ACTIVE));
    assertEquals("A. Operator", bench.events(DosingEvent.Bypassed.class).get(0).author());
    assertTrue(
        bench.events(DosingEvent.Bypassed.class).get(0).words().contains("heater being changed"));

    bench.until(400, () -> bench.writes.stream().anyMatch(LineWrite.Abandon.class::isInstance));
    assertEquals(1, bench.events(DosingEvent.BypassEnded.class).size());
    assertTrue(bench.last.view().verdict().active().contains(Cause.TEMPERATURE_LOW));
    bench.enter(new Entry.Acknowledge(bench.stamp(), AlarmKey.BYPASS_ACTIVE.key(), ""));
    bench.run(2);
    assertEquals(AlarmLife.NORMAL, bench.life(AlarmKey.BYPASS_ACTIVE));
  }

  @Test
  void withoutTheBypassNothingGoesOut() {
    Bench bench = cold();
    bench.run(100);
    assertEquals(0, bench.submits().size());
    assertFalse(bench.state.alarm().active(AlarmKey.BYPASS_ACTIVE));
  }
}
