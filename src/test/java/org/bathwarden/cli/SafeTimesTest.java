package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.time.Instant;
import java.util.Set;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;

/** Times from what should end an order to the image that shows it ended; limits by PLC rule 4. */
class SafeTimesTest {

  private static final TankId TANK = new TankId("wash-1");
  private static final Set<Permit> NEEDED = Permit.neededFor(Product.WATER);
  private static final int DRAIN_CLOSED = 8;
  private static final int PERMIT_MISSING = 1;
  private static final int HEARTBEAT_LOST = 2;
  private static final int ABANDONED = 4;

  private final SafeTimes times = new SafeTimes();
  private Instant now = Instant.parse("2026-03-02T06:00:00Z");

  private static PlcWords words(int state, int reason) {
    return words(state, reason, 0x1FF);
  }

  private static PlcWords words(int state, int reason, int permits) {
    return new PlcWords(0, permits, 0, state, 1, 0, reason, 0, 0, 0, 0, 1, 0, 0, 0, 0, 2, 0, 0, 1);
  }

  private void runs(int passes, boolean beats, boolean abandons) {
    for (int i = 0; i < passes; i++) {
      times.seen(TANK, words(PlcWords.RUNNING, 0), NEEDED, beats, abandons, now);
      now = now.plusSeconds(1);
    }
  }

  private void stopped(int reason) {
    times.seen(TANK, words(PlcWords.STOPPED, reason), NEEDED, false, false, now);
  }

  private void withoutDrain(int state, int reason) {
    times.seen(TANK, words(state, reason, 0x1FF & ~DRAIN_CLOSED), NEEDED, true, false, now);
    now = now.plusSeconds(1);
  }

  private String told(boolean within) {
    StringWriter out = new StringWriter();
    assertEquals(within, times.summary(new PrintWriter(out, true), Set.of()));
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

  @Test
  void aStopInTheImageThatShowsThePermitGoneIsInTime() {
    runs(3, true, false);
    withoutDrain(PlcWords.STOPPED, PERMIT_MISSING);
    assertTrue(
        told(true)
            .contains(
                "permit missing: ran on without it for 0.0 s at most in 1 stops, limit 0.2 s; seen"
                    + " once a scan: it stopped within 1.0 s of the last image with the permit"),
        told(true));
    assertEquals(Set.of(Permit.DRAIN_CLOSED), times.missing(TANK));
    assertTrue(times.measured(TANK, SafeTimes.End.PERMIT_MISSING));
  }

  @Test
  void aStopOneImageLaterMayStillBeInTime() {
    runs(3, true, false);
    withoutDrain(PlcWords.RUNNING, 0);
    withoutDrain(PlcWords.STOPPED, PERMIT_MISSING);
    assertTrue(told(true).contains("for 0.0 s at most in 1 stops"), told(true));
    assertTrue(told(true).contains("within 2.0 s of the last image"), told(true));
  }

  @Test
  void twoImagesThatShowItRunningWithoutThePermitProveItLateWhateverStoppedIt() {
    runs(3, true, false);
    withoutDrain(PlcWords.RUNNING, 0);
    withoutDrain(PlcWords.RUNNING, 0);
    withoutDrain(PlcWords.STOPPED, ABANDONED);
    assertTrue(told(false).contains("for 1.0 s at most in 1 stops, limit 0.2 s: too long"));
  }

  @Test
  void aPermitThatComesBackWhileItRunsMeasuresNothing() {
    runs(1, true, false);
    withoutDrain(PlcWords.RUNNING, 0);
    runs(1, true, false);
    stopped(PERMIT_MISSING);
    assertTrue(told(true).contains("permit missing: not measured"), told(true));
  }

  @Test
  void whatWasWantedAndNotMeasuredFails() {
    StringWriter out = new StringWriter();
    assertFalse(times.summary(new PrintWriter(out, true), Set.of(SafeTimes.End.PERMIT_MISSING)));
    assertTrue(
        out.toString()
            .contains("permit missing: not measured, though it was wanted; --permit-drop does"),
        out.toString());
  }
}
