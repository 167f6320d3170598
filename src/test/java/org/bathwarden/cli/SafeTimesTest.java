package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.time.Instant;
import org.bathwarden.line.PlcWords;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;

/** Times from what should end an order to the image that shows it ended; limits by PLC rule 4. */
class SafeTimesTest {

  private static final TankId TANK = new TankId("wash-1");
  private static final int HEARTBEAT_LOST = 2;
  private static final int ABANDONED = 4;

  private final SafeTimes times = new SafeTimes();
  private Instant now = Instant.parse("2026-03-02T06:00:00Z");

  private static PlcWords words(int state, int reason) {
    return new PlcWords(0, 0x1FF, 0, state, 1, 0, reason, 0, 0, 0, 0, 1, 0, 0, 0, 0, 2, 0, 0, 1);
  }

  private void runs(int passes, boolean beats, boolean abandons) {
    for (int i = 0; i < passes; i++) {
      times.seen(TANK, words(PlcWords.RUNNING, 0), beats, abandons, now);
      now = now.plusSeconds(1);
    }
  }

  private void stopped(int reason) {
    times.seen(TANK, words(PlcWords.STOPPED, reason), false, false, now);
  }

  private String told(boolean within) {
    StringWriter out = new StringWriter();
    assertEquals(within, times.summary(new PrintWriter(out, true)));
    return out.toString();
  }

  @Test
  void theHeartbeatsEndCountsFromTheLastOneWritten() {
    runs(4, true, false);
    runs(4, false, false);
    assertTrue(times.runs(TANK));
    stopped(HEARTBEAT_LOST);
    assertFalse(times.runs(TANK));
    assertTrue(told(true).contains("heartbeat lost: 5.0 s at most in 1 stops"), told(true));
  }

  @Test
  void anAbandonCountsFromThePassThatWroteItFirst() {
    runs(3, true, false);
    runs(2, true, true);
    stopped(ABANDONED);
    assertTrue(told(true).contains("own: 2.0 s at most in 1 stops"), told(true));
  }

  @Test
  void whatTakesTooLongIsSaid() {
    runs(1, true, false);
    runs(9, false, false);
    stopped(HEARTBEAT_LOST);
    assertTrue(told(false).contains("10.0 s at most in 1 stops, limit 7.0 s: too long"));
  }

  @Test
  void anOrderThatEndedForAnotherReasonMeasuresNothing() {
    runs(1, true, false);
    runs(9, false, true);
    stopped(1);
    assertTrue(told(true).contains("heartbeat lost: not measured"), told(true));
    assertTrue(told(true).contains("own: not measured"), told(true));
  }
}
