package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.BookWorld.Mistake;
import org.bathwarden.dosing.DosingEvent.CommandLeft;
import org.bathwarden.dosing.DosingEvent.EpochClaimed;
import org.bathwarden.dosing.DosingEvent.EpochHeld;
import org.bathwarden.dosing.DosingEvent.NumbersAdopted;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.bathwarden.dosing.DosingEvent.OrderPrepared;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.OrderBlock;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/**
 * The order book against the rules the controller keeps in the line contract, version 2; the rule
 * is named at each test. The other side is a PLC written from the contract's text.
 */
class OrderBookTest {

  private static final int INSTANCE = 3;
  private final BookWorld world = new BookWorld(INSTANCE, 1, Mistake.NONE);
  private final ContractPlc plc = world.plc;

  private void takeCommand() {
    world.runUntil(() -> world.book.inCommand());
    world.run(2);
  }

  private void startOrder() {
    startOrder(300);
  }

  private void startOrder(long ml) {
    takeCommand();
    world.targetMl = ml;
    world.runUntil(plc::running);
  }

  private OrderClosed onlyClosed() {
    assertEquals(1, world.closed().size(), world.record.toString());
    return world.closed().get(0);
  }

  // Rule 6: one holder

  @Test
  void a_start_takes_a_new_epoch_of_its_own_once_the_standing_heartbeat_is_dead() {
    plc.holder = 34;
    world.run(4);
    assertEquals(List.of(), world.recorded(EpochClaimed.class));
    takeCommand();
    assertEquals(35, plc.holder); // the smallest above 34 that is 3 modulo 16
    assertEquals(1, world.recorded(EpochClaimed.class).size());
    assertTrue(world.recorded(EpochClaimed.class).get(0).beforeWrite());
    assertEquals(35, world.recorded(EpochHeld.class).get(0).epoch());
  }

  @Test
  void a_heartbeat_that_lives_is_not_taken_over() {
    plc.holder = 34;
    for (int i = 1; i <= 30; i++) {
      plc.writeBeat(i, 34);
      world.run(1);
      assertEquals(List.of(), world.lastWrites);
    }
  }

  @Test
  void what_others_numbered_while_it_was_not_holder_is_adopted() {
    plc.holder = 34;
    plc.taken = 98;
    plc.finalNumber = 98;
    plc.abandonedTo = 50;
    startOrder();
    NumbersAdopted adopted = world.recorded(NumbersAdopted.class).get(0);
    assertEquals(List.of(98L, 50L), List.of(adopted.taken(), adopted.abandonedTo()));
    assertEquals(List.of(99L), plc.takenUp); // the smallest above 98 that is 3 modulo 16
    assertEquals(Optional.empty(), world.book.latch());
  }

  @Test
  void a_restart_that_finds_the_stored_epoch_is_no_deposition() {
    takeCommand();
    world.wait(20);
    world.restart();
    takeCommand();
    assertEquals(Optional.empty(), world.book.latch());
    assertEquals(19, plc.holder);
  }

  @Test
  void a_deposed_instance_never_takes_the_line_back_without_a_person() {
    startOrder();
    plc.writeClaim(36);
    world.runUntil(() -> world.book.latch().isPresent());
    assertEquals(List.of(Disagreement.DEPOSED), world.disagreements());
    world.run(60); // nobody beats for instance 4
    assertEquals(36, plc.holder);
    assertEquals(List.of(), world.wrote(LineWrite.Beat.class));
    assertEquals(ReasonCode.NOT_THE_HOLDER, onlyClosed().reason());
    assertEquals(plc.flowedMl, onlyClosed().deliveredMl());

    world.resynchronise();
    world.targetMl = 900;
    world.runUntil(plc::running);
    assertEquals(51, plc.holder);
  }

  /**
   * Its number never reached the record, its abandon reached the PLC, then the process was killed.
   */
  @Test
  void an_own_abandon_that_the_record_does_not_know_is_adopted_and_no_one_else_commanding() {
    world.run(10);
    world.restart();
    world.plc.abandonedTo = 16 + world.book.instance();
    world.run(20);
    assertEquals(List.of(), world.disagreements());
    assertTrue(world.book.inCommand());
    world.targetMl = 300;
    world.runUntil(() -> !world.closed().isEmpty());
    assertTrue(world.closed().get(0).order().number() > world.plc.abandonedTo);
    world.plc.abandonedTo = world.closed().get(0).order().number() + 3;
    world.run(5);
    assertEquals(List.of(Disagreement.SOMEONE_ELSE_COMMANDS), world.disagreements());
  }

  @Test
  void a_deposition_while_it_was_away_is_seen_after_the_restart() {
    takeCommand();
    plc.writeClaim(20);
    world.restart();
    world.run(30);
    assertEquals(Optional.of(Disagreement.DEPOSED), world.book.latch());
    assertEquals(20, plc.holder);
  }

  @Test
  void a_claim_that_was_lost_is_repeated_with_the_same_epoch() {
    world.runUntil(() -> !world.wrote(LineWrite.ClaimEpoch.class).isEmpty());
    plc.holder = 0; // as if it had not arrived
    world.run(10);
    assertEquals(3, plc.holder);
    assertEquals(
        List.of(3L, 3L), world.recorded(EpochClaimed.class).stream().map(e -> e.epoch()).toList());
  }

  /** A PLC judges the change that it sees from one scan to the next: the 0 must stand for one. */
  @Test
  void a_claim_is_cleared_a_pass_before_it_is_repeated() {
    world.runUntil(() -> !world.wrote(LineWrite.ClaimEpoch.class).isEmpty());
    plc.holder = 0;
    List<Long> epochs = new ArrayList<>();
    for (int i = 0; i < 3; i++) {
      world.run(1);
      world.wrote(LineWrite.ClaimEpoch.class).forEach(claim -> epochs.add(claim.epoch()));
    }
    assertEquals(List.of(0L, 3L), epochs);
  }

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
  void a_plc_that_goes_on_showing_the_last_epoch_does_not_bring_command_back() {
    takeCommand();
    world.leaving = true;
    world.run(30);
    assertEquals(1, world.recorded(CommandLeft.class).size(), world.record.toString());
    assertEquals(1, world.recorded(EpochHeld.class).size(), world.record.toString());
    assertEquals(List.of(), world.lastWrites);
  }

  @Test
  void a_start_after_a_stop_says_once_with_which_epoch_it_commands() {
    takeCommand();
    world.leaving = true;
    world.run(10);
    world.restart();
    world.leaving = false;
    takeCommand();
    assertEquals(
        List.of((long) INSTANCE, INSTANCE + 16L),
        world.recorded(EpochHeld.class).stream().map(EpochHeld::epoch).toList());
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
  void one_image_that_differs_from_the_others_concludes_nothing() {
    takeCommand();
    world.shown = OrderBookTest::forgetful;
    world.run(1);
    world.shown = words -> words;
    world.run(10);
    assertEquals(List.of(), world.disagreements());
    world.shown = OrderBookTest::forgetful;
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

  @Test
  void a_number_outside_1_to_15_modulo_16_is_never_used() {
    for (int instance = 1; instance <= 15; instance++) {
      BookWorld other = new BookWorld(instance, 1, Mistake.NONE);
      other.plc.taken = 1234;
      other.plc.finalNumber = 1234;
      other.targetMl = 600;
      other.run(60);
      for (long number : other.plc.takenUp) {
        assertEquals(instance, number % 16);
      }
      assertEquals(2, other.plc.takenUp.size());
      assertEquals(instance, other.plc.holder % 16);
    }
  }
}
