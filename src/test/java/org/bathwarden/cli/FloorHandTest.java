package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.net.InetAddress;
import java.time.Duration;
import org.bathwarden.simulator.RemoteIoSimulation;
import org.bathwarden.simulator.scenario.Scenario;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** What a person types at a simulated line. */
class FloorHandTest {

  private static final int DRAIN_CLOSED = 1 << 3;

  private final RemoteIoSimulation plant =
      RemoteIoSimulation.open(
          Scenario.bundled("rehearsal"), 1, InetAddress.getLoopbackAddress(), 0);
  private final FloorHand hand = new FloorHand(plant);

  @AfterEach
  void close() {
    plant.close();
  }

  private boolean drainClosed(int tank) {
    plant.advance(Duration.ofSeconds(2));
    return (plant.floor().signals(tank).permits() & DRAIN_CLOSED) != 0;
  }

  @Test
  void aPermitIsTakenAwayFromOneTankAndGivenBack() {
    assertTrue(drainClosed(0));
    assertEquals("done", hand.act("permit-loss 1 3"));
    assertFalse(drainClosed(0));
    assertTrue(drainClosed(1));
    assertEquals("done", hand.act("  end permit-loss 1"));
    assertTrue(drainClosed(0));
  }

  @Test
  void aDeedIsDone() {
    double before = plant.floor().truth(1).volumeL();
    assertEquals("done", hand.act("pour-water 2 40"));
    plant.advance(Duration.ofSeconds(2));
    assertEquals(before + 40, plant.floor().truth(1).volumeL(), 1.5);
  }

  @Test
  void aLineThatCannotBeDoneSaysWhatCan() {
    assertTrue(hand.act("").contains("allowed is [end] NAME TANK [SIZE]"));
    assertTrue(hand.act("permit-loss").contains("such as permit-loss 1 3"));
    assertEquals("tank 3: there are 1 to 2", hand.act("permit-loss 3 3"));
    assertTrue(hand.act("earthquake 1").contains("pour-water"), hand.act("earthquake 1"));
    assertTrue(hand.act("end pour-water 1").contains("no fault"));
    assertTrue(drainClosed(0));
  }
}
