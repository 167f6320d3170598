package org.bathwarden.dosing;

import java.util.Optional;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/** Something that happened in dosing and belongs into the record, in the order given. */
public sealed interface DosingEvent {

  /** The tank. */
  TankId tank();

  /** When. */
  Now at();

  /** Whether it must be durable before any write of the same pass. */
  default boolean beforeWrite() {
    return false;
  }

  /**
   * An order was decided on; its write follows in the same pass.
   *
   * @param order the order
   * @param totalMl the product's totalizer, mL; NaN if unknown
   * @param levelL settled level, L; NaN if unknown
   */
  record OrderPrepared(TankId tank, Now at, Order order, double totalMl, double levelL)
      implements DosingEvent {
    @Override
    public boolean beforeWrite() {
      return true;
    }
  }

  /** The PLC took up order {@code number}. */
  record OrderTaken(TankId tank, Now at, long number) implements DosingEvent {}

  /**
   * An order was settled and what flowed is booked.
   *
   * @param order the order
   * @param state how it ended, never {@link OrderState#OPEN}
   * @param deliveredMl what flowed, mL
   * @param reason why it ended early or was refused, as the PLC says
   * @param stoppedBy what made this instance end it, in words; empty if it did not
   * @param totalizerMl what the totalizer says, mL; NaN if unknown
   * @param atMost whether {@code deliveredMl} is only the most that can have flowed for it: the PLC
   *     counts another order, or forgot, and the totalizer counts everyone's flow
   */
  record OrderClosed(
      TankId tank,
      Now at,
      Order order,
      OrderState state,
      long deliveredMl,
      ReasonCode reason,
      Optional<String> stoppedBy,
      double totalizerMl,
      boolean atMost)
      implements DosingEvent {

    /** Why it ended early, in words; empty if it did not. */
    public String why() {
      if (atMost) {
        return "its count is no longer in the PLC: the most that can have flowed";
      }
      return reason == ReasonCode.NONE ? "" : stoppedBy.orElse(reason.words());
    }
  }

  /**
   * The book, the PLC and the meters disagree.
   *
   * @param what on what
   * @param number the order concerned; 0 if none
   * @param product its product, if it is one of ours
   * @param detail values, for people
   */
  record OrderDisagrees(
      TankId tank, Now at, Disagreement what, long number, Optional<Product> product, String detail)
      implements DosingEvent {}

  /** This instance asks to become holder with {@code epoch}; the write follows in this pass. */
  record EpochClaimed(TankId tank, Now at, long epoch) implements DosingEvent {
    @Override
    public boolean beforeWrite() {
      return true;
    }
  }

  /** The PLC obeys {@code epoch}, which this instance claimed. */
  record EpochHeld(TankId tank, Now at, long epoch) implements DosingEvent {}

  /** This instance left command in good order; who comes next does not depose it. */
  record CommandLeft(TankId tank, Now at) implements DosingEvent {}

  /** Numbers of other instances, shown by the PLC while this one was not holder, were adopted. */
  record NumbersAdopted(TankId tank, Now at, long taken, long abandonedTo, long holder)
      implements DosingEvent {}

  /**
   * The count of another instance's order was closed. An order whose own instance was away when it
   * ended is counted here alone.
   *
   * @param number its number
   * @param state {@link OrderState#DONE} or {@link OrderState#STOPPED}
   * @param deliveredMl what flowed for it, mL
   * @param reason why it ended early, as the PLC says
   */
  record OtherOrderCounted(
      TankId tank, Now at, long number, OrderState state, long deliveredMl, ReasonCode reason)
      implements DosingEvent {}

  /** A person had this instance take the line although another may hold it. */
  record LineAskedFor(TankId tank, Now at, String author) implements DosingEvent {}

  /** An engineer took what the PLC shows as the new basis of the book. */
  record Resynchronised(
      TankId tank, Now at, long taken, long abandonedTo, long holder, String author)
      implements DosingEvent {}

  /** An addition is proposed. */
  record ProposalMade(TankId tank, Now at, Proposal proposal) implements DosingEvent {}

  /** A person took proposal {@code number} upon themselves. */
  record ProposalAccepted(TankId tank, Now at, long number, String owner) implements DosingEvent {}

  /** The owner of proposal {@code number} is asked what became of it. */
  record ProposalAsked(TankId tank, Now at, long number, String owner) implements DosingEvent {}

  /**
   * A proposal ended.
   *
   * @param proposal the proposal
   * @param end how
   * @param litres what was poured, L
   * @param author who said so; empty if no person did
   * @param lot lot of the product, if known
   */
  record ProposalEnded(
      TankId tank,
      Now at,
      Proposal proposal,
      Proposal.End end,
      double litres,
      String author,
      Optional<String> lot)
      implements DosingEvent {}

  /** The dosing mode changed. */
  record ModeChanged(TankId tank, Now at, Mode from, Mode to, String author, String reason)
      implements DosingEvent {}

  /** The bath passed to another state. */
  record BathChanged(TankId tank, Now at, BathState from, BathState to, String author)
      implements DosingEvent {}

  /**
   * A procedure began, passed to another step, or ended.
   *
   * @param procedure which
   * @param step the step that was done, or where it was abandoned; as it begins the first one
   * @param what {@code begun}, {@code done}, {@code doubted}, {@code ended} or {@code abandoned}
   * @param words what was told and what was seen
   * @param author who said so; empty if it was seen
   */
  record ProcedureMoved(
      TankId tank,
      Now at,
      ProcedureKind procedure,
      ProcedureStep step,
      String what,
      String words,
      String author)
      implements DosingEvent {}

  /** An addition that no totalizer saw was booked. */
  record AdditionBooked(
      TankId tank, Now at, Product product, double litres, String author, Optional<String> lot)
      implements DosingEvent {}

  /** An interlock tripped and stays so until a person resets it. */
  record Tripped(TankId tank, Now at, String interlock, String words) implements DosingEvent {}

  /** A person reset a latched interlock. */
  record TripWasReset(TankId tank, Now at, String interlock, String author)
      implements DosingEvent {}

  /** A person bypassed an interlock, or renewed a bypass. */
  record Bypassed(TankId tank, Now at, String interlock, String author, String words)
      implements DosingEvent {}

  /** A bypass ended, by a person or by its time. */
  record BypassEnded(TankId tank, Now at, String interlock, String words) implements DosingEvent {}

  /** A person proved an item at the line, or found that it fails. */
  record Proved(TankId tank, Now at, String item, Proof proof) implements DosingEvent {}

  /**
   * A test dose ended.
   *
   * @param item what it was to prove
   * @param good whether it did what it must
   * @param words what was seen
   * @param owner who answers for it
   */
  record TestDoseEnded(TankId tank, Now at, String item, boolean good, String words, String owner)
      implements DosingEvent {}

  /** An entry was refused; it changes nothing. */
  record EntryRefused(TankId tank, Now at, String entryId, String author, String reason)
      implements DosingEvent {}
}
