package org.bathwarden.line.modbus;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import org.bathwarden.line.LineFault;
import org.bathwarden.line.LineWrite.Abandon;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.line.WriteResult;
import org.bathwarden.simulator.wire.RemoteIo;
import org.bathwarden.simulator.wire.WireFault;
import org.junit.jupiter.api.Test;

/** The line contract's PLC side with two coils in place of a PLC program. */
class PulseLineTest extends PulseBench {

  @Test
  void whoOnlyReadsWritesNothing() {
    for (int i = 0; i < 5; i++) {
      PlcWords words = look();
      assertEquals(0x1FF, words.permitBits());
      assertTrue(words.provesWiring(1));
    }
    assertEquals(0, io.writes());
  }

  @Test
  void anOrderRunsToItsVolumeAndIsFinal() {
    hold();
    assertEquals(WriteResult.DONE, order(1, 1_000, 60));
    PlcWords words = untilFinal();
    assertEquals(1, words.orderTaken());
    assertEquals(PlcWords.DONE, words.orderState());
    assertEquals(1_000, words.orderDeliveredMl());
    assertEquals(1_000, flowedMl());
    assertFalse(io.on(0, 0));
  }

  /** The contract: up to the watchdog's time may flow unseen, and it is booked. */
  @Test
  void aControllerThatDiesLeavesTheWatchdogsTimeAtMostAndBooksIt() {
    hold();
    order(1, 3_000, 60);
    round();
    round();
    long before = io.onMs(0);
    line.close();
    io.advance(Duration.ofMinutes(2));
    at = at.plus(Duration.ofMinutes(2));
    assertFalse(io.on(0, 0), "the module has dropped it");
    assertTrue(io.onMs(0) - before <= 5_000, io.onMs(0) - before + " ms");
    line = line();
    PlcWords words = look();
    assertEquals(PlcWords.STOPPED, words.orderState());
    assertEquals(ReasonCode.PLC_RESTARTED.ordinal(), words.orderReason());
    assertTrue(words.orderDeliveredMl() >= flowedMl(), "nothing that flowed is missing");
    assertTrue(words.orderDeliveredMl() <= flowedMl() + 5 * FLOW, words.toString());
    look();
    assertFalse(look().orderOpen(), "settled without a write");
    long flowed = flowedMl();
    hold();
    assertEquals(flowed, flowedMl(), "it does not go on");
    order(1, 3_000, 60);
    PlcWords after = round();
    assertEquals(1, after.refusedNumber());
    assertEquals(ReasonCode.NUMBER_NOT_NEW.ordinal(), after.refusedReason());
    assertEquals(flowed, flowedMl(), "an order is never run twice");
  }

  @Test
  void anOrderThatIsOpenBlocksTheNext() {
    hold();
    order(1, 2_000, 60);
    round();
    order(2, 500, 60);
    assertEquals(ReasonCode.BUSY.ordinal(), round().refusedReason());
    assertEquals(2_000, untilFinal().orderDeliveredMl());
    assertEquals(2_000, flowedMl());
  }

  @Test
  void aPermitThatIsLostStopsItInTheSameRound() {
    hold();
    order(1, 3_000, 60);
    round();
    permits(0x1FF & ~Permit.DRAIN_CLOSED.bit());
    round();
    assertFalse(io.on(0, 0), "within one scan and its writes");
    PlcWords words = untilFinal();
    assertEquals(ReasonCode.PERMIT_MISSING.ordinal(), words.orderReason());
    assertEquals(flowedMl(), words.orderDeliveredMl());
  }

  @Test
  void theTimeLimitStopsIt() {
    hold();
    order(1, 3_000, 4);
    PlcWords words = untilFinal();
    assertEquals(ReasonCode.TIME_LIMIT.ordinal(), words.orderReason());
    assertEquals(400, flowedMl());
    assertEquals(400, words.orderDeliveredMl());
  }

  @Test
  void anAbandonStopsItAtOnce() {
    hold();
    order(1, 3_000, 60);
    round();
    assertTrue(io.on(0, 0));
    assertEquals(WriteResult.DONE, writer().write(new Abandon(ONE, 1), soon()));
    assertFalse(io.on(0, 0), "without waiting for a heartbeat");
    assertEquals(ReasonCode.ABANDONED.ordinal(), untilFinal().orderReason());
  }

  @Test
  void aCoilThatIsConfirmedButNotSwitchedIsAnOrderWithoutFlow() {
    hold();
    io.faults().set(WireFault.ACK_IGNORED);
    order(1, 3_000, 60);
    PlcWords words = untilFinal();
    assertEquals(ReasonCode.NO_FLOW.ordinal(), words.orderReason());
    assertEquals(0, flowedMl());
    assertTrue(words.orderDeliveredMl() <= FLOW, "at most the scan in which it was not seen");
  }

  @Test
  void aCoilThatDoesNotDropIsShownAndWhatFlowsIsCounted() {
    hold();
    order(1, 300, 60);
    round();
    round();
    io.faults().set(WireFault.ACK_IGNORED);
    boolean shown = false;
    PlcWords words = round();
    for (int i = 0; i < 12; i++) {
      words = round();
      shown |= words.shows(LineFault.OUTPUT_DID_NOT_DROP);
    }
    assertTrue(shown);
    assertTrue(flowedMl() > 300);
    assertTrue(words.orderDeliveredMl() >= flowedMl(), "counted as long as the coil reads on");
    assertFalse(io.on(0, 0), "writes that are ignored do not feed the watchdog");
  }

  @Test
  void aHeartbeatThatEndsIsStoppedByTheModuleAndSoProvesItsWatchdog() {
    hold();
    order(1, 3_000, 60);
    round();
    PlcWords words = look();
    int seconds = 0;
    while (words.orderState() == PlcWords.RUNNING && seconds < 7) {
      words = look();
      seconds++;
    }
    assertEquals(PlcWords.STOPPED, words.orderState());
    assertEquals(ReasonCode.HEARTBEAT_LOST.ordinal(), words.orderReason());
    assertFalse(io.on(0, 0));
  }

  @Test
  void aModuleWithoutAWatchdogProvesNone() {
    line.close();
    io.close();
    io = new RemoteIo(floor, Duration.ofDays(1), 0);
    line = line();
    hold();
    order(1, 3_000, 60);
    round();
    PlcWords words = look();
    for (int i = 0; i < 8; i++) {
      words = look();
    }
    assertEquals(PlcWords.RUNNING, words.orderState(), "the coil is on: it is not called stopped");
  }

  @Test
  void whatCannotBeKeptIsNotSwitchedOn() {
    hold();
    memory.fails = true;
    WriteResult result = order(1, 1_000, 60);
    assertEquals(WriteResult.UNKNOWN, result);
    for (int i = 0; i < 3; i++) {
      round();
    }
    assertEquals(0, flowedMl());
    assertEquals(0, round().orderTaken());
  }

  @Test
  void aModuleThatRestartsDropsItsOutputs() {
    hold();
    order(1, 3_000, 60);
    round();
    io.restart();
    assertFalse(io.on(0, 0));
    PlcWords words = untilFinal();
    assertEquals(PlcWords.STOPPED, words.orderState());
    assertFalse(io.on(0, 0), "it is not switched on again");
  }
}
