package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.dosing.BookWorld.Mistake;
import org.bathwarden.dosing.DosingEvent.EpochClaimed;
import org.bathwarden.dosing.DosingEvent.EpochHeld;
import org.bathwarden.dosing.DosingEvent.OtherOrderCounted;
import org.bathwarden.line.OrderBlock;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/** The order book of instance 3 where instance 4 is on the same line (controller rule 6). */
class OrderBookPairTest {

  private static final Pair AUTOMATIC = new Pair(3, Set.of(4), Pair.Takeover.AUTOMATIC);
  private static final Pair ON_REQUEST = new Pair(3, Set.of(4), Pair.Takeover.ON_REQUEST);
  private static final long OTHER = 36;

  private BookWorld world = new BookWorld(AUTOMATIC, 1, Mistake.NONE);
  private int otherBeat;

  private ContractPlc plc() {
    return world.plc;
  }

  /** The other holds the line and beats once a second. */
  private void otherCommands(int seconds) {
    plc().holder = Math.max(plc().holder, OTHER);
    for (int i = 0; i < seconds; i++) {
      plc().writeBeat(++otherBeat, plc().holder);
      world.run(1);
    }
  }

  private void otherOrders(long number, long ml) {
    OrderBlock block =
        new OrderBlock(
            Product.CONCENTRATE, ml, 60, number, plc().holder, plc().words().plcHeartbeat());
    plc().writeBlock(block);
    plc().writeCommit(number);
  }

  private LineRole role(Pair pair) {
    return world.book.role(pair, world.now().steady());
  }

  @Test
  void it_stands_by_while_the_other_beats_and_takes_the_line_when_that_is_dead() {
    otherCommands(20);
    assertEquals(LineRole.STANDBY, role(AUTOMATIC));
    assertEquals(List.of(), world.recorded(EpochClaimed.class));
    Instant lastBeat = world.now().steady();
    world.runUntil(() -> world.book.inCommand());
    assertEquals(LineRole.HOLDER, role(AUTOMATIC));
    assertEquals(51, plc().holder);
    Duration held =
        Duration.between(lastBeat, world.recorded(EpochHeld.class).get(0).at().steady());
    assertTrue(held.compareTo(Duration.ofSeconds(10)) < 0, held.toString());
    Duration claimed =
        Duration.between(lastBeat, world.recorded(EpochClaimed.class).get(0).at().steady());
    assertTrue(claimed.compareTo(LineWatch.DEAD_AFTER.minusSeconds(1)) >= 0, claimed.toString());
  }

  @Test
  void on_request_it_waits_for_a_person_however_long_nobody_commands() {
    world = new BookWorld(ON_REQUEST, 1, Mistake.NONE);
    otherCommands(10);
    world.run(120);
    assertEquals(OTHER, plc().holder);
    assertEquals(LineRole.STANDBY, role(ON_REQUEST));
    world.takeLine();
    world.runUntil(() -> world.book.inCommand());
    assertEquals(51, plc().holder);
    world.restart();
    world.runUntil(() -> world.book.inCommand());
    assertEquals(67, plc().holder, "its own line, after its own restart");
  }

  @Test
  void a_new_holder_has_the_time_of_a_heartbeat_anew() {
    otherCommands(5);
    world.run(4);
    plc().holder = OTHER + 16;
    world.run(4);
    assertEquals(List.of(), world.recorded(EpochClaimed.class));
    otherCommands(10);
    assertEquals(List.of(), world.recorded(EpochClaimed.class));
  }

  @Test
  void the_line_is_known_to_be_held_although_an_order_of_the_other_is_still_ending() {
    otherCommands(5);
    otherOrders(68, 5_000);
    otherCommands(5);
    assertTrue(plc().running());
    world.takeLine();
    world.runUntil(() -> world.book.holds());
    assertEquals(8, plc().reason);
    Duration took =
        Duration.between(
            world.recorded(EpochClaimed.class).get(0).at().steady(),
            world.recorded(EpochHeld.class).get(0).at().steady());
    assertEquals(Duration.ofSeconds(2), took);
    world.targetMl = 300;
    world.runUntil(() -> !world.closed().isEmpty());
    assertEquals(List.of(), world.disagreements());
    OtherOrderCounted other = world.recorded(OtherOrderCounted.class).get(0);
    assertEquals(1, world.recorded(OtherOrderCounted.class).size());
    assertEquals(68, other.number());
    assertEquals(ReasonCode.NOT_THE_HOLDER, other.reason());
    assertEquals(plc().flowed.get(68L), other.deliveredMl());
    assertEquals(plc().flowedMl, world.bookedMl() + other.deliveredMl());
  }

  @Test
  void a_peer_that_abandons_its_own_order_is_no_intruder_and_a_stranger_is() {
    otherCommands(5);
    world.runUntil(() -> world.book.inCommand());
    plc().writeAbandon(84);
    world.run(5);
    assertTrue(world.book.inCommand());
    assertEquals(84, world.book.highestAbandonedTo());
    plc().writeAbandon(85);
    world.run(5);
    assertEquals(Optional.of(Disagreement.SOMEONE_ELSE_COMMANDS), world.book.latch());
  }

  @Test
  void a_beat_of_a_new_holder_seen_after_an_outage_deposes_and_is_no_intruder() {
    world.runUntil(() -> world.book.inCommand());
    world.linkUp = false;
    otherCommands(20);
    world.linkUp = true;
    otherCommands(5);
    assertEquals(List.of(Disagreement.DEPOSED), world.disagreements());
    assertEquals(LineRole.DEPOSED, role(AUTOMATIC));
    world.run(60);
    assertEquals(OTHER, plc().holder);
    world.resynchronise();
    otherCommands(30);
    assertEquals(LineRole.STANDBY, role(AUTOMATIC));
    assertEquals(OTHER, plc().holder);
    assertFalse(world.book.holder());
    world.takeLine();
    world.run(5);
    assertEquals(LineRole.HOLDER, role(AUTOMATIC));
  }
}
