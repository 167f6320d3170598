package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent.ProposalAccepted;
import org.bathwarden.dosing.DosingEvent.ProposalAsked;
import org.bathwarden.dosing.DosingEvent.ProposalEnded;
import org.bathwarden.dosing.DosingEvent.ProposalMade;
import org.bathwarden.dosing.Proposal.End;
import org.bathwarden.dosing.Proposal.Owner;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/**
 * The proposals of one tank, one at a time: made → accepted by a named person → poured, not poured,
 * or seen by a totalizer; or declined, or withdrawn when the need is gone. An accepted one is never
 * withdrawn: after 30 min its owner is asked what became of it.
 *
 * @param highestNumber highest number used
 * @param open the one that is open
 * @param last how the one before it ended
 */
public record Proposals(long highestNumber, Optional<Proposal> open, Optional<ProposalEnded> last) {

  /** None was ever made. */
  public static final Proposals NONE = new Proposals(0, Optional.empty(), Optional.empty());

  /** An owner is asked this long after accepting. */
  static final Duration ASK_AFTER = Duration.ofMinutes(30);

  /** A need that is gone for so long withdraws the proposal; judgement. */
  static final Duration WITHDRAW_AFTER = Duration.ofMinutes(10);

  /** A metered pour counts as over when nothing has flowed for so long; judgement. */
  static final Duration POURED_AFTER = Duration.ofMinutes(2);

  /** A need that changed by more than this share is another one; judgement. */
  private static final double ANOTHER_NEED = 0.25;

  /** A totalizer that saw less than this share of a proposal saw something else; judgement. */
  private static final double WORTH_SETTLING = 0.1;

  /**
   * What a step gave.
   *
   * @param after the proposals after it
   * @param events what happened
   */
  record Step(Proposals after, List<DosingEvent> events) {}

  /** A person answers; {@link #problemOfAnswer} has said that it is not refused. */
  Step answer(TankId tank, long number, boolean accepted, String author, Now now) {
    Proposal proposal = open.orElseThrow();
    if (!accepted) {
      return end(tank, proposal, End.DECLINED, 0, author, Optional.empty(), now);
    }
    Owner owner = new Owner(author, now, false, 0, Optional.empty());
    return new Step(
        with(proposal.ownedBy(owner)), List.of(new ProposalAccepted(tank, now, number, author)));
  }

  /** Why an answer to proposal {@code number} is refused; empty if it is not. */
  Optional<String> problemOfAnswer(long number, boolean accepted) {
    if (open.isEmpty() || open.get().number() != number) {
      return Optional.of("proposal " + number + " is not open");
    } else if (open.get().owner().isPresent()) {
      return Optional.of("proposal " + number + " belongs to " + open.get().owner().get().name());
    } else if (accepted && open.get().unwantedSince().isPresent()) {
      return Optional.of("proposal " + number + " is not wanted any more");
    }
    return Optional.empty();
  }

  /** The owner tells what was poured; {@link #problemOfSettling} has said that this stands. */
  Step settle(TankId tank, double litres, String author, Optional<String> lot, Now now) {
    End end = litres > 0 ? End.POURED : End.NOT_POURED;
    return end(tank, open.orElseThrow(), end, litres, author, lot, now);
  }

  /**
   * Why telling what became of proposal {@code number} is refused; empty if it is not. Once its
   * owner was asked in vain, another person may tell.
   */
  Optional<String> problemOfSettling(long number, String author) {
    Optional<ProposalEnded> ended = last.filter(e -> e.proposal().number() == number);
    if (ended.isPresent() && ended.get().end() == End.METERED) {
      return Optional.of(Needs.say("a totalizer has booked %.1f L for it", ended.get().litres()));
    } else if (open.isEmpty() || open.get().number() != number) {
      return Optional.of(
          "proposal "
              + number
              + " is not open any more; what was poured all the same is an addition");
    } else if (open.get().owner().isEmpty()) {
      return Optional.of("proposal " + number + " was not accepted");
    }
    Owner owner = open.get().owner().get();
    return owner.asked() || owner.name().equals(author)
        ? Optional.empty()
        : Optional.of("proposal " + number + " belongs to " + owner.name());
  }

  /** The owner's product, if a hand pour may be under way. */
  Optional<Product> handPour() {
    return open.filter(p -> p.owner().isPresent()).map(Proposal::product);
  }

  /** What may be in the tank already without having been booked, L. */
  double unsettledL(Product product) {
    return open.filter(p -> p.owner().isPresent() && p.product() == product)
        .map(p -> Math.max(p.litres() - p.owner().orElseThrow().meteredL(), 0))
        .orElse(0.0);
  }

  /**
   * One pass: a totalizer that saw the pour settles it, an owner is asked, a need that is gone or
   * changed withdraws, a new one proposes.
   *
   * @param flowL what flowed of the open proposal's product outside orders in this pass, L
   * @param wanted what is wanted and may be dosed
   * @param proposing whether the tank is in {@code propose}
   */
  Step step(TankId tank, double flowL, Optional<Wish> wanted, boolean proposing, Now now) {
    if (open.isEmpty()) {
      return proposing && wanted.isPresent() ? make(tank, wanted.get(), now) : unchanged();
    }
    Proposal proposal = open.get();
    return proposal.owner().isPresent()
        ? followOwner(tank, proposal, proposal.owner().get(), flowL, now)
        : followNeed(tank, proposal, wanted, proposing, now);
  }

  private Step followOwner(TankId tank, Proposal proposal, Owner owner, double flowL, Now now) {
    boolean flows = flowL > 0;
    Optional<Instant> flowedAt = flows ? Optional.of(now.steady()) : owner.flowedAt();
    double metered = owner.meteredL() + (flows ? flowL : 0);
    boolean over =
        flowedAt.isPresent() && !now.steady().isBefore(flowedAt.get().plus(POURED_AFTER));
    if (over && metered >= WORTH_SETTLING * proposal.litres()) {
      return end(tank, proposal, End.METERED, metered, "", Optional.empty(), now);
    }
    boolean ask = !owner.asked() && !now.steady().isBefore(owner.at().steady().plus(ASK_AFTER));
    Owner next = new Owner(owner.name(), owner.at(), owner.asked() || ask, metered, flowedAt);
    return new Step(
        with(proposal.ownedBy(next)),
        ask ? List.of(new ProposalAsked(tank, now, proposal.number(), owner.name())) : List.of());
  }

  private Step followNeed(
      TankId tank, Proposal proposal, Optional<Wish> wanted, boolean proposing, Now now) {
    boolean stillWanted = wanted.map(wish -> wish.product() == proposal.product()).orElse(false);
    Optional<Instant> unwanted =
        stillWanted ? Optional.empty() : Optional.of(proposal.unwantedSince().orElse(now.steady()));
    boolean gone =
        unwanted.isPresent() && !now.steady().isBefore(unwanted.get().plus(WITHDRAW_AFTER));
    boolean another = wanted.isPresent() && (!stillWanted || differs(proposal, wanted.get()));
    if (!proposing || gone || another) {
      return end(tank, proposal, End.WITHDRAWN, 0, "", Optional.empty(), now);
    }
    return new Step(with(proposal.unwanted(unwanted)), List.of());
  }

  private static boolean differs(Proposal proposal, Wish wish) {
    return Math.abs(wish.litres() - proposal.litres()) > ANOTHER_NEED * proposal.litres();
  }

  private Step make(TankId tank, Wish wish, Now now) {
    Proposal made =
        new Proposal(
            highestNumber + 1,
            wish.product(),
            wish.litres(),
            wish.reason(),
            now,
            Optional.empty(),
            Optional.empty());
    return new Step(
        new Proposals(made.number(), Optional.of(made), last),
        List.of(new ProposalMade(tank, now, made)));
  }

  private Step end(
      TankId tank,
      Proposal proposal,
      End end,
      double litres,
      String author,
      Optional<String> lot,
      Now now) {
    ProposalEnded ended = new ProposalEnded(tank, now, proposal, end, litres, author, lot);
    return new Step(
        new Proposals(highestNumber, Optional.empty(), Optional.of(ended)), List.of(ended));
  }

  private Step unchanged() {
    return new Step(this, List.of());
  }

  private Proposals with(Proposal proposal) {
    return new Proposals(highestNumber, Optional.of(proposal), last);
  }
}
