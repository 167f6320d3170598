package org.bathwarden.dosing;

import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.dosing.DosingEvent.OrderDisagrees;
import org.bathwarden.tank.Product;

/**
 * Causes that only the order book, the drum and the proofs can see; counts orders that came short.
 */
final class FoundCauses {

  private static final int SHORT_TWICE = 2;

  private final DosingSettings settings;
  private final DosingDraft draft;

  FoundCauses(DosingSettings settings, DosingDraft draft) {
    this.settings = settings;
    this.draft = draft;
  }

  /**
   * The causes of this pass.
   *
   * @param elsewhere those that the estimator sees
   * @param read what happened to orders in this pass
   */
  Set<Cause> of(Set<Cause> elsewhere, List<DosingEvent> read) {
    Set<Cause> found = EnumSet.noneOf(Cause.class);
    found.addAll(elsewhere);
    found.addAll(ProofPass.causes(settings, draft));
    draft.book.latch().map(FoundCauses::causeOf).ifPresent(found::add);
    if (draft.otherProduct) {
      found.add(Cause.RESPONSE_MISMATCH);
    }
    if (draft.book.role(settings.pair(), draft.now.steady()) == LineRole.STANDBY) {
      found.add(Cause.STANDBY);
    }
    if (!draft.drum.known()) {
      found.add(Cause.DRUM_UNKNOWN);
    }
    for (DosingEvent event : read) {
      if (event instanceof OrderDisagrees e) {
        found.addAll(causesOf(e));
      } else if (event instanceof DosingEvent.OrderClosed e && e.state() == OrderState.DONE) {
        draft.forgetShort(e.order().product());
      }
    }
    return found;
  }

  private Set<Cause> causesOf(OrderDisagrees event) {
    boolean water = event.product().equals(Optional.of(Product.WATER));
    return switch (event.what()) {
      case MEMORY_LOST, SOMEONE_ELSE_COMMANDS, DEPOSED, RECORD_DAMAGED, OVERTAKEN, READ_BACK ->
          Set.of(causeOf(event.what()));
      case OVER_DELIVERED, TOTALIZER, UNSEEN_FLOW ->
          Set.of(water ? Cause.WATER_MISCOUNT : Cause.CONCENTRATE_MISCOUNT);
      case SHORT -> shortAgain(water ? Product.WATER : Product.CONCENTRATE);
    };
  }

  private static Cause causeOf(Disagreement what) {
    return switch (what) {
      case DEPOSED -> Cause.DEPOSED;
      case RECORD_DAMAGED -> Cause.RECORD_DAMAGED;
      default -> Cause.ORDER_BOOK_DISAGREES;
    };
  }

  private Set<Cause> shortAgain(Product product) {
    if (draft.countShort(product) < SHORT_TWICE) {
      return Set.of();
    }
    draft.forgetShort(product);
    return Set.of(product == Product.WATER ? Cause.WATER_NO_FLOW : Cause.CONCENTRATE_NO_FLOW);
  }
}
