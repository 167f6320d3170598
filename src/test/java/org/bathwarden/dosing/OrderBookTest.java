package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent.CommandLeft;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.bathwarden.dosing.DosingEvent.OrderPrepared;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.junit.jupiter.api.Test;

/**
 * The order book against the rules the controller keeps in the line contract, version 2; the rule
 * is named at each test. The other side is a PLC written from the contract's text.
 */
class OrderBookTest extends OrderBookCase {

  // Rules 1, 4 and 8: write ahead, book what flowed, heartbeat with the pass

  @Test
  void an_order_is_durable_then_written_then_followed_to_its_final_count_and_booked() {
    startOrder();
    OrderPrepared prepared = world.recorded(OrderPrepared.class).get(0);
    assertTrue(prepared.beforeWrite());
    assertEquals(3, prepared.order().number());
    assertEquals(300, prepared.order().orderedMl());
    assertEquals("weak by titration", prepared.order().reason());
    world.run(15);
    OrderClosed closed = onlyClosed();
    assertEquals(OrderState.DONE, closed.state());
    assertEquals(310, closed.deliveredMl()); // 300 and an overrun of one tick of 10 mL
    assertEquals(310, closed.totalizerMl(), 1e-9);
    assertEquals(List.of(3L), plc.takenUp);
  }

  @Test
  void the_totalizer_may_wrap_during_an_order() {
    plc.totalMl = 4_294_967_290L;
    startOrder();
    world.run(15);
    assertTrue(plc.totalMl < 1000, "it wrapped");
    assertEquals(310, onlyClosed().totalizerMl(), 1e-9);
    assertEquals(List.of(), world.disagreements());
  }

  @Test
  void every_completed_pass_beats_once_and_counts_up_by_one() {
    takeCommand();
    int last = world.book.watch().beat();
    for (int i = 1; i <= 600; i++) { // ten minutes of nothing to do
      world.run(1);
      LineWrite.Beat beat = world.wrote(LineWrite.Beat.class).get(0);
      assertEquals(List.of(beat), world.lastWrites);
      assertEquals((last + i) & 0xFFFF, beat.heartbeat());
      assertEquals(world.book.epoch(), beat.epoch());
    }
    assertEquals(Optional.empty(), world.book.latch());
  }

  @Test
  void numbers_above_two_to_the_31_stay_unsigned() {
    plc.holder = 2_147_483_650L;
    plc.taken = 3_000_000_000L;
    plc.finalNumber = 3_000_000_000L;
    startOrder();
    world.run(15);
    assertEquals(3_000_000_003L, onlyClosed().order().number());
    assertEquals(OrderState.DONE, onlyClosed().state());
    assertTrue(plc.holder > 2_147_483_650L);
  }

  @Test
  void a_number_beyond_what_the_plc_takes_is_not_ordered() {
    plc.taken = 4_294_967_290L;
    plc.finalNumber = 4_294_967_290L;
    takeCommand();
    world.targetMl = 300;
    world.run(20);
    assertEquals(List.of(), world.recorded(OrderPrepared.class));
  }

  @Test
  void nothing_is_ordered_while_the_record_fails_but_the_heartbeat_goes_on() {
    takeCommand();
    world.recordHealthy = false;
    world.targetMl = 300;
    world.run(20);
    assertEquals(List.of(), world.recorded(OrderPrepared.class));
    assertEquals(1, world.wrote(LineWrite.Beat.class).size());
  }

  // Modes

  @Test
  void outside_command_mode_nothing_at_all_is_written() {
    world.command = false;
    world.targetMl = 300;
    for (int i = 0; i < 60; i++) {
      world.run(1);
      assertEquals(List.of(), world.lastWrites);
    }
  }

  @Test
  void outside_command_mode_an_order_left_by_a_crash_is_settled_by_reading_alone() {
    world.portionMl = 3000;
    startOrder(3000);
    world.restart();
    world.command = false;
    for (int i = 0; i < 30; i++) {
      world.run(1);
      assertEquals(List.of(), world.lastWrites);
    }
    assertEquals(OrderState.STOPPED, onlyClosed().state());
    assertEquals(ReasonCode.HEARTBEAT_LOST, onlyClosed().reason());
    assertEquals(plc.flowedMl, onlyClosed().deliveredMl());
  }

  // Rule 2: never twice, settle by reading

  @Test
  void a_refused_order_is_refused_only_once_the_watermark_shows_and_gets_a_fresh_number() {
    takeCommand();
    plc.permits = false;
    world.targetMl = 300;
    world.runUntil(() -> plc.refused == 3);
    assertEquals(List.of(), world.closed());
    world.runUntil(() -> !world.closed().isEmpty());
    assertEquals(3, plc.abandonedTo);
    assertEquals(OrderState.REFUSED, onlyClosed().state());
    assertEquals(ReasonCode.PERMIT_MISSING, onlyClosed().reason());
    assertEquals(0, onlyClosed().deliveredMl());
    plc.permits = true;
    world.runUntil(plc::running);
    assertEquals(List.of(19L), plc.takenUp);
  }

  @Test
  void an_order_that_nobody_saw_is_void_only_once_the_watermark_shows() {
    takeCommand();
    world.targetMl = 300;
    world.noise = 0;
    world.effectsUntilKilled = 2; // the record, a heartbeat, and not the block
    try {
      world.run(1);
    } catch (BookWorld.Killed killed) {
      world.restart();
    }
    assertTrue(world.book.open().isPresent());
    world.runUntil(() -> !world.wrote(LineWrite.Abandon.class).isEmpty());
    assertEquals(List.of(), world.closed());
    world.runUntil(() -> !world.closed().isEmpty());
    assertEquals(OrderState.VOID, onlyClosed().state());
    assertEquals(3, plc.abandonedTo);
    assertEquals(0, plc.flowedMl);
  }

  // Rules 7, 10 and 11

  @Test
  void leaving_abandons_follows_to_the_final_count_books_and_then_falls_silent() {
    startOrder();
    world.command = false;
    world.leaving = true;
    world.run(1);
    assertEquals(1, world.wrote(LineWrite.Abandon.class).size());
    assertEquals(1, world.wrote(LineWrite.Beat.class).size());
    world.runUntil(() -> !world.recorded(CommandLeft.class).isEmpty());
    assertEquals(ReasonCode.ABANDONED, onlyClosed().reason());
    assertEquals(plc.flowedMl, onlyClosed().deliveredMl());
    assertEquals(List.of(), world.lastWrites);
    assertTrue(world.book.canLeave());
  }

  @Test
  void an_order_that_an_interlock_stopped_says_which() {
    startOrder();
    world.stop = Optional.of("level unsettled");
    world.run(1);
    world.stop = Optional.of("data stale");
    world.runUntil(() -> world.book.open().isEmpty());
    assertEquals(Optional.of("level unsettled"), onlyClosed().stoppedBy(), "the first stands");
    assertEquals(ReasonCode.ABANDONED, onlyClosed().reason());
  }

  @Test
  void an_order_that_ran_to_its_end_was_stopped_by_nothing() {
    startOrder();
    world.runUntil(() -> world.book.open().isEmpty());
    assertEquals(Optional.empty(), onlyClosed().stoppedBy());
  }

  @Test
  void a_plc_that_stands_still_is_told_to_stop_and_hears_no_heartbeat() {
    startOrder();
    PlcWords frozen = plc.words();
    world.shown = words -> frozen;
    world.run(3);
    assertEquals(1, world.wrote(LineWrite.Beat.class).size());
    world.run(2);
    assertEquals(List.of(new LineWrite.Abandon(BookWorld.TANK, 3)), world.lastWrites);
  }

  @Test
  void a_pass_that_failed_abandons_and_stops_the_heartbeat() {
    startOrder();
    world.failOff = true;
    world.run(1);
    assertEquals(List.of(new LineWrite.Abandon(BookWorld.TANK, 3)), world.lastWrites);
  }

  @Test
  void after_a_power_cut_of_the_plc_the_order_is_booked_and_command_goes_on() {
    startOrder();
    world.targetMl = 0;
    plc.powerCycle();
    world.run(5);
    assertEquals(ReasonCode.PLC_RESTARTED, onlyClosed().reason());
    assertEquals(plc.flowedMl, onlyClosed().deliveredMl());
    world.targetMl = 600;
    world.runUntil(plc::running);
    assertEquals(3, plc.holder);
    assertEquals(List.of(), world.disagreements());
  }
}
