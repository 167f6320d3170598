package org.bathwarden.dosing;

import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.bathwarden.line.PlcWords;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Product;

/**
 * Books what flowed into the ledger: an order when it is final, everything else as the totalizer
 * shows it. Where order and totalizer differ, the larger counts.
 */
final class FlowBooking {

  private static final double ML_PER_L = 1000;

  private final DosingDraft draft;
  private final DosingInput in;
  private final OrderBook before;

  FlowBooking(DosingDraft draft, DosingInput in, OrderBook before) {
    this.draft = draft;
    this.in = in;
    this.before = before;
  }

  /** Books; returns what flowed of the open proposal's product outside orders, L. */
  double run(List<DosingEvent> read) {
    for (DosingEvent event : read) {
      if (event instanceof OrderClosed closed) {
        bookOrder(closed);
      }
    }
    double pouredL = 0;
    for (Product product : Product.values()) {
      double litres = bookOther(product);
      Optional<Product> poured = draft.proposals.handPour();
      pouredL += poured.equals(Optional.of(product)) ? litres : 0;
    }
    draft.ledger = draft.ledger.prune(in.now().steady());
    return pouredL;
  }

  /** What passes booked as a panel run's while it was open is not booked again as the order's. */
  private void bookOrder(OrderClosed closed) {
    double totalizerMl = Double.isFinite(closed.totalizerMl()) ? closed.totalizerMl() : 0;
    double ml = Math.max(closed.deliveredMl() - panelMl(closed.order().product()), totalizerMl);
    Flow.Origin origin = closed.deliveredMl() > 0 ? Flow.Origin.ORDER : Flow.Origin.UNKNOWN;
    draft.book(closed.order().product(), ml / ML_PER_L, in.now().steady(), origin);
  }

  /** Booked as a panel run's since the order that was open was made, this pass's flow included. */
  private double panelMl(Product product) {
    double earlierMl = before.open().map(OpenOrder::panelMl).orElse(0.0);
    return earlierMl + (panel() ? in.flowedMl(product) : 0);
  }

  private boolean panel() {
    return draft.book.watch().panelRunSince(before.watch());
  }

  /** Flow while an order of the product is open is the order's, unless a panel run explains it. */
  private double bookOther(Product product) {
    double litres = in.flowedMl(product) / ML_PER_L;
    boolean panel = panel();
    boolean ours = before.open().map(o -> o.order().product() == product).orElse(false);
    if (!(litres > 0) || (ours && !panel)) {
      return 0;
    }
    if (panel && charged(product, litres)) {
      return litres;
    }
    draft.book(product, litres, in.now().steady(), panel ? Flow.Origin.PANEL : other());
    return litres;
  }

  /** What the panel pumps for a charge is no top-up: the caps are those of the bath in use. */
  private boolean charged(Product product, double litres) {
    Optional<Procedure> charge = draft.procedures.open().filter(Procedure::pours);
    if (charge.isPresent() && product == Product.CONCENTRATE) {
      draft.drum = draft.drum.used(litres);
      Charging metered = charge.get().charging().metered(litres);
      draft.procedures = draft.procedures.with(Optional.of(charge.get().with(metered)));
    }
    return draft.bath.state() == BathState.CHARGING;
  }

  private Flow.Origin other() {
    Optional<PlcWords> words = draft.book.watch().words();
    boolean foreignOrder =
        words.map(w -> w.orderOpen() && !draft.book.ownNumber(w.orderTaken())).orElse(false);
    return foreignOrder ? Flow.Origin.OTHER_INSTANCE : Flow.Origin.UNKNOWN;
  }
}
