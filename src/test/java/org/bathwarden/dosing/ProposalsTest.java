package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent.AdditionBooked;
import org.bathwarden.dosing.DosingEvent.ProposalAsked;
import org.bathwarden.dosing.DosingEvent.ProposalEnded;
import org.bathwarden.dosing.DosingEvent.ProposalMade;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

/** A proposal from its making to its end, in whole passes of a tank in {@code propose}. */
class ProposalsTest {

  private final DosingWorld world = new DosingWorld(Mode.PROPOSE);

  private Proposal proposed() {
    world.titrate();
    world.runUntil(() -> world.state.proposals().open().isPresent());
    return world.state.proposals().open().orElseThrow();
  }

  private Proposal accepted() {
    Proposal proposal = proposed();
    answer(proposal.number(), true, "A. Operator");
    return proposal;
  }

  private void answer(long number, boolean accepted, String author) {
    world.enter(
        new Entry.ProposalAnswer(world.stamp(author, Stamp.Channel.MQTT), number, accepted));
  }

  private void settle(long number, double litres, String author) {
    world.enter(
        new Entry.ProposalSettled(
            world.stamp(author, Stamp.Channel.MQTT), number, litres, Optional.of("L-17")));
  }

  private ProposalEnded onlyEnd() {
    assertEquals(1, world.events(ProposalEnded.class).size());
    return world.events(ProposalEnded.class).get(0);
  }

  @Test
  void there_is_one_proposal_at_a_time_and_it_says_why() {
    Proposal proposal = proposed();
    world.run(120);
    assertEquals(1, world.events(ProposalMade.class).size());
    assertEquals(1, proposal.number());
    assertEquals(Product.CONCENTRATE, proposal.product());
    assertFalse(proposal.reason().isBlank());
  }

  @Test
  void an_accepted_one_blocks_any_other_and_counts_as_poured_and_not_poured() {
    Proposal proposal = accepted();
    world.run(60);
    assertTrue(world.last.verdict().active().contains(Cause.HAND_CONCENTRATE_OPEN));
    assertEquals(proposal.litres(), world.state.proposals().unsettledL(Product.CONCENTRATE), 1e-9);
    answer(proposal.number(), true, "B. Operator");
    assertEquals(List.of("proposal 1 belongs to A. Operator"), world.refusals());
  }

  @Test
  void its_owner_settles_it_with_what_was_poured_which_is_booked_once() {
    Proposal proposal = accepted();
    settle(proposal.number(), 4.5, "B. Operator");
    assertEquals(List.of("proposal 1 belongs to A. Operator"), world.refusals());
    settle(proposal.number(), 4.5, "A. Operator");
    assertEquals(Proposal.End.POURED, onlyEnd().end());
    assertEquals(4.5, world.bookedL(), 1e-9);
    assertEquals(4.5, world.handPouredL, 1e-9); // the estimator hears of it as an addition
    settle(proposal.number(), 4.5, "A. Operator");
    assertEquals(2, world.refusals().size());
    assertEquals(4.5, world.bookedL(), 1e-9);
    assertEquals(1, world.events(AdditionBooked.class).size());
  }

  @Test
  void not_poured_books_nothing() {
    settle(accepted().number(), 0, "A. Operator");
    assertEquals(Proposal.End.NOT_POURED, onlyEnd().end());
    assertEquals(0, world.bookedL(), 1e-9);
  }

  @Test
  void declined_books_nothing_and_a_standing_need_is_proposed_again() {
    answer(proposed().number(), false, "A. Operator");
    assertEquals(Proposal.End.DECLINED, onlyEnd().end());
    world.run(5);
    assertEquals(2, world.state.proposals().open().orElseThrow().number());
  }

  @Test
  void after_30_minutes_the_owner_is_asked_and_then_another_person_may_tell() {
    Proposal proposal = accepted();
    world.run(1798);
    assertEquals(0, world.events(ProposalAsked.class).size());
    world.run(3);
    assertEquals("A. Operator", world.events(ProposalAsked.class).get(0).owner());
    world.run(600);
    assertEquals(1, world.events(ProposalAsked.class).size());
    settle(proposal.number(), 5, "B. Operator");
    assertEquals(Proposal.End.POURED, onlyEnd().end());
  }

  @Test
  void a_totalizer_that_saw_the_pour_settles_it_and_a_second_booking_is_refused() {
    Proposal proposal = accepted();
    world.plc.panelRun = true;
    world.run(30);
    world.plc.panelRun = false;
    world.run(125);
    assertEquals(Proposal.End.METERED, onlyEnd().end());
    assertEquals(3.0, onlyEnd().litres(), 0.05); // 30 s at 6 L/min
    settle(proposal.number(), 3, "A. Operator");
    assertEquals(List.of("a totalizer has booked 3.0 L for it"), world.refusals());
    world.enter(
        new Entry.Addition(
            world.stamp("A. Operator"), Product.CONCENTRATE, 3, false, Optional.empty()));
    assertEquals("a totalizer has booked 3.0 L then", world.refusals().get(1));
    assertEquals(3.0, world.bookedL(), 0.05);
    assertEquals(0, world.handPouredL, 1e-9);
  }

  @Test
  void an_addition_by_the_owner_is_not_taken_beside_the_proposal() {
    accepted();
    world.enter(
        new Entry.Addition(
            world.stamp("A. Operator"), Product.CONCENTRATE, 5, false, Optional.empty()));
    assertEquals(List.of("tell it as what became of proposal 1"), world.refusals());
  }

  @Test
  void it_is_withdrawn_when_the_need_is_gone_for_ten_minutes_but_never_once_accepted() {
    proposed();
    world.titrate(13, org.bathwarden.estimate.Verdict.DOUBTFUL_HIGH, Stamp.Channel.CONSOLE);
    world.run(590);
    assertTrue(world.state.proposals().open().isPresent());
    answer(1, true, "A. Operator");
    assertEquals(List.of("proposal 1 is not wanted any more"), world.refusals());
    world.run(20);
    assertEquals(Proposal.End.WITHDRAWN, onlyEnd().end());
    assertEquals(Optional.empty(), world.state.proposals().open());
  }

  @Test
  void an_accepted_one_outlasts_the_need_and_the_mode() {
    accepted();
    world.enter(new Entry.ModeRequest(world.stamp("E. Engineer"), Mode.OFF));
    world.run(900);
    assertTrue(world.state.proposals().open().isPresent());
  }

  @Test
  void more_than_twice_a_proposal_is_not_what_became_of_it() {
    Proposal proposal = accepted();
    settle(proposal.number(), 2.1 * proposal.litres(), "A. Operator");
    assertTrue(world.refusals().get(0).contains("tell at most"), world.refusals().toString());
    assertEquals(0, world.bookedL(), 0);
    settle(proposal.number(), 2 * proposal.litres(), "A. Operator");
    assertEquals(2 * proposal.litres(), world.bookedL(), 1e-9);
  }
}
