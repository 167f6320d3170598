package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.BookWorld.Mistake;
import org.bathwarden.dosing.DosingEvent.CommandLeft;
import org.bathwarden.dosing.DosingEvent.EpochClaimed;
import org.bathwarden.dosing.DosingEvent.EpochHeld;
import org.bathwarden.dosing.DosingEvent.NumbersAdopted;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.ReasonCode;
import org.junit.jupiter.api.Test;

/** Who has the line, by epochs and numbers, as the line contract says. */
class OrderBookEpochTest extends OrderBookCase {

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
