package org.bathwarden.line.modbus;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.line.TankImage;
import org.bathwarden.simulator.wire.WireFault;
import org.junit.jupiter.api.Test;

/** Flow that nobody saw is booked in full, and named even where it makes an order look done. */
class PulseUnseenTest extends PulseBench {

  private static final int CUT_S = 20;

  /** No image comes for a while; the module drops its outputs meanwhile. */
  private void cut() {
    io.faults().set(WireFault.LINK_CUT);
    for (int s = 0; s < CUT_S; s++) {
      io.advance(SCAN);
      at = at.plus(SCAN);
      TankImage image = line.read(java.util.List.of(ONE), at, soon()).get(0);
      assertFalse(image.link().up());
    }
    io.faults().clear(WireFault.LINK_CUT);
    assertFalse(io.on(0, 0));
  }

  private void bookedInFullAndNamed(PlcWords words) {
    assertEquals(PlcWords.STOPPED, words.orderState());
    assertEquals(ReasonCode.PLC_RESTARTED.ordinal(), words.orderReason());
    assertTrue(words.orderDeliveredMl() >= flowedMl(), words + ", flowed " + flowedMl());
    assertTrue(words.orderDeliveredMl() <= flowedMl() + 6 * FLOW, words + ", " + flowedMl());
  }

  @Test
  void aLinkThatIsCutInTheMiddleOfAnOrder() {
    hold();
    order(1, 3_000, 60);
    round();
    cut();
    bookedInFullAndNamed(round());
  }

  @Test
  void aLinkThatIsCutShortlyBeforeAnOrdersEnd() {
    hold();
    order(1, 400, 60);
    round();
    round();
    cut();
    PlcWords words = round();
    assertTrue(words.orderDeliveredMl() > 400, "as booked it would be done: " + words);
    bookedInFullAndNamed(words);
  }

  @Test
  void aKillBetweenAnOrdersEndAndItsFinalCount() {
    hold();
    order(1, 300, 60);
    PlcWords words = round();
    while (words.orderState() == PlcWords.RUNNING) {
      words = look();
      if (words.orderState() == PlcWords.RUNNING) {
        beat();
      }
    }
    assertEquals(PlcWords.DONE, words.orderState());
    assertTrue(io.on(0, 0), "the write that switches it off never comes");
    line.close();
    io.advance(Duration.ofMinutes(1));
    at = at.plus(Duration.ofMinutes(1));
    assertTrue(flowedMl() > 300, "it ran on until the watchdog's end");
    line = line();
    bookedInFullAndNamed(look());
  }
}
