package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.OrderBlock;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/** What book and PLC cannot agree on, and what is written then. */
class OrderBookDisagreesTest extends OrderBookCase {

  @Test
  void an_order_that_was_overtaken_is_booked_by_the_totalizer_and_alarmed() {
    startOrder();
    world.wait(10); // it is done, and nobody read it
    plc.taken = 100;
    plc.finalNumber = 100;
    world.run(4);
    assertEquals(OrderState.STOPPED, onlyClosed().state());
    assertEquals(310, onlyClosed().deliveredMl());
    assertTrue(onlyClosed().atMost());
    assertTrue(world.disagreements().contains(Disagreement.OVERTAKEN));
    assertEquals(Optional.of(Disagreement.SOMEONE_ELSE_COMMANDS), world.book.latch());
  }

  @Test
  void a_panel_run_is_not_booked_on_an_overtaken_order() {
    startOrder();
    world.run(2);
    plc.panelRun = true;
    world.run(4);
    long orderMl = plc.flowed.get(3L);
    plc.taken = 100;
    plc.finalNumber = 100;
    plc.panelRun = false;
    world.run(4);
    assertTrue(plc.flowedMl > orderMl + 300, "the panel poured more than the order");
    assertEquals(orderMl, onlyClosed().deliveredMl());
  }

  @Test
  void a_plc_that_lost_its_memory_gets_no_command_until_an_engineer_resynchronises() {
    startOrder();
    world.wait(10);
    plc.resetAtPanel();
    world.run(30);
    assertEquals(List.of(Disagreement.MEMORY_LOST), world.disagreements());
    assertEquals(List.of(), world.closed());
    assertEquals(List.of(), world.wrote(LineWrite.Beat.class));
    world.resynchronise();
    assertEquals(310, onlyClosed().deliveredMl()); // from the totalizer
    world.targetMl = 600;
    world.runUntil(plc::running);
    assertEquals(List.of(3L, 19L), plc.takenUp); // numbers are never used again
    assertEquals(Optional.empty(), world.book.latch());
  }

  @Test
  void an_order_whose_plc_lost_its_totalizer_too_is_booked_as_ordered() {
    plc.totalMl = 0;
    startOrder();
    world.run(3);
    plc.resetAtPanel();
    plc.totalMl = 0;
    world.run(10);
    world.resynchronise();
    assertEquals(300, onlyClosed().deliveredMl());
  }

  // Rule 3: check what was taken

  @Test
  void refused_twice_for_its_check_means_that_someone_else_writes() {
    takeCommand();
    plc.corrupts = true;
    world.targetMl = 300;
    world.run(100);
    assertEquals(2, world.closed().size());
    assertEquals(List.of(Disagreement.SOMEONE_ELSE_COMMANDS), world.disagreements());
    assertEquals(List.of(), world.wrote(LineWrite.Beat.class));
  }

  @Test
  void a_heartbeat_it_did_not_write_stops_its_own_and_the_order_at_once() {
    startOrder();
    plc.writeBeat(40_000, plc.holder);
    world.run(1);
    assertEquals(List.of(Disagreement.SOMEONE_ELSE_COMMANDS), world.disagreements());
    assertEquals(List.of(new LineWrite.Abandon(BookWorld.TANK, 3)), world.lastWrites);
    world.run(10);
    assertEquals(OrderState.STOPPED, onlyClosed().state());
  }

  @Test
  void an_order_under_its_epoch_that_it_did_not_make_is_abandoned() {
    takeCommand();
    plc.writeBlock(
        new OrderBlock(
            Product.CONCENTRATE, 5000, 600, 100, plc.holder, plc.words().plcHeartbeat()));
    plc.writeCommit(100);
    world.run(5);
    assertEquals(List.of(Disagreement.SOMEONE_ELSE_COMMANDS), world.disagreements());
    assertFalse(plc.running());
    assertEquals(100, plc.abandonedTo);
    assertTrue(plc.flowedMl < 600, "stopped within seconds");
    world.run(10);
    assertEquals(List.of(), world.lastWrites);
  }

  // Rule 4: compare

  @Test
  void an_order_that_overran_disagrees() {
    plc.overrunAfterStop = 6;
    startOrder();
    world.run(15);
    assertEquals(360, onlyClosed().deliveredMl()); // 20 % over; allowed are 5 % or 2 pulses
    assertEquals(List.of(Disagreement.OVER_DELIVERED), world.disagreements());
  }

  @Test
  void an_order_that_starved_disagrees() {
    takeCommand();
    plc.pumpWorks = false;
    world.targetMl = 300;
    world.run(90);
    OrderClosed first = world.closed().get(0);
    assertEquals(ReasonCode.TIME_LIMIT, first.reason());
    assertEquals(0, first.deliveredMl());
    assertEquals(Disagreement.SHORT, world.disagreements().get(0));
  }

  @Test
  void a_totalizer_that_saw_less_disagrees() {
    plc.unmeteredPerTick = 2;
    startOrder();
    world.run(15);
    assertEquals(310, onlyClosed().deliveredMl());
    assertTrue(world.disagreements().contains(Disagreement.TOTALIZER));
  }

  @Test
  void one_image_that_differs_from_the_others_concludes_nothing() {
    takeCommand();
    world.shown = OrderBookDisagreesTest::forgetful;
    world.run(1);
    world.shown = words -> words;
    world.run(10);
    assertEquals(List.of(), world.disagreements());
    world.shown = OrderBookDisagreesTest::forgetful;
    world.run(2);
    assertEquals(List.of(Disagreement.MEMORY_LOST), world.disagreements());
  }

  private static PlcWords forgetful(PlcWords w) {
    return new PlcWords(
        w.plcHeartbeat(),
        w.permitBits(),
        w.faultBits(),
        0,
        0,
        0,
        0,
        0,
        0,
        0,
        0,
        0,
        0,
        w.limitConcentrateMl(),
        w.limitWaterMl(),
        w.limitTimeS(),
        2,
        w.checkF32(),
        w.checkU32(),
        1);
  }

  @Test
  void one_missing_image_does_not_end_an_order() {
    startOrder();
    world.linkUp = false;
    world.run(1);
    world.linkUp = true;
    world.run(15);
    assertEquals(OrderState.DONE, onlyClosed().state());
  }
}
