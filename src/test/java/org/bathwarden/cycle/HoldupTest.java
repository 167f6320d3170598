package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.Happening;
import org.bathwarden.dosing.Cause;
import org.bathwarden.line.Permit;
import org.junit.jupiter.api.Test;

/** A level that rises when the pump stops, and falls when it starts, is no liquid come or gone. */
class HoldupTest {

  private static final double HOLDUP_L = 90;

  /** The pump stops for half an hour in which the pipes run back, and starts again. */
  private static Bench stopped(double told) {
    Bench bench = new Bench(Plant.spraying(told)).ready();
    bench.without(Permit.CIRCULATION);
    bench.level(bench.volumeL + HOLDUP_L);
    bench.coarse(Duration.ofMinutes(30), 2);
    double off = Math.abs(bench.estimate().volumeL() - 1000);
    assertEquals(told > 0, off < 8, "stopped: " + off);
    bench.with(Permit.CIRCULATION);
    bench.level(bench.volumeL - HOLDUP_L);
    bench.coarse(Duration.ofMinutes(20), 2);
    return bench;
  }

  @Test
  void whatThePipesHoldComesAndGoesUnmissed() {
    Bench bench = stopped(HOLDUP_L);
    assertEquals(List.of(), bench.state.dosing().interlocks().latched());
    assertEquals(0, bench.count(AlarmKey.FAST_LOSS, Happening.ACTIVATED));
    assertEquals(0, bench.count(AlarmKey.UNBOOKED_CHANGE, Happening.ACTIVATED));
    assertEquals(1000, bench.estimate().volumeL(), 5);
  }

  @Test
  void aPumpStartThatNobodyToldOfIsALoss() {
    Bench bench = stopped(0);
    assertTrue(
        bench.state.dosing().interlocks().latched().contains(Cause.FAST_LOSS),
        "the control: " + bench.state.dosing().interlocks().latched());
  }
}
