package org.bathwarden.dosing;

import java.util.List;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;

/**
 * What of an order is booked though nobody saw it flow: limits and caps hold for all of it, the
 * estimate must hold for none of it too. Where a meter counts, that saw it.
 */
final class UnseenFlows {

  private static final double ML_PER_L = 1000;

  private UnseenFlows() {}

  /** Lets the next pass tell the estimator of the orders that were closed so in this one. */
  static void owe(OrderRules rules, DosingDraft draft, List<DosingEvent> read) {
    for (DosingEvent event : read) {
      if (event instanceof OrderClosed closed) {
        Product product = closed.order().product();
        double ml = rules.unseenMl(product, closed.reason(), closed.deliveredMl());
        if (ml > 0 && !rules.metered(product)) {
          Stamp stamp = draft.own("unseen-flow-of-order-" + closed.order().number());
          draft.procedures =
              draft.procedures.owing(new Entry.UnseenFlow(stamp, product, ml / ML_PER_L));
        }
      }
    }
  }
}
