package org.bathwarden.dosing;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent.NumbersAdopted;
import org.bathwarden.dosing.DosingEvent.OrderClosed;
import org.bathwarden.dosing.DosingEvent.OrderDisagrees;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.tank.Product;

/**
 * First half of an order book's pass: takes in outcomes and image, checks who commands, and settles
 * the open order by reading (line contract, controller rules 2 to 5 and 10). Lives for one step.
 */
final class OrderReading {

  private static final double WRAP_ML = 4_294_967_296.0;
  private static final int REPEATED = 2;

  private final OrderRules rules;
  private final LineSight sight;
  private final List<DosingEvent> events = new ArrayList<>();
  private OrderBook book;

  OrderReading(OrderBook before, OrderRules rules, LineSight sight) {
    this.book = before;
    this.rules = rules;
    this.sight = sight;
  }

  BookStep step() {
    sight.written().forEach(this::takeOutcome);
    LineWatch before = book.watch();
    book = book.with(before.seeing(sight));
    book.open().ifPresent(open -> change(counted(open, before)));
    checkHeartbeat(before);
    book.watch()
        .concludedNumbers()
        .filter(n -> book.latch().isEmpty())
        .ifPresent(this::checkNumbers);
    book.watch().concluded().ifPresent(this::conclude);
    return new BookStep(book, events, List.of());
  }

  BookStep resynchronise(String author) {
    book.watch().concludedNumbers().ifPresent(shown -> resynchronise(shown, author));
    return new BookStep(book, events, List.of());
  }

  private void resynchronise(LineNumbers shown, String author) {
    if (book.open().isPresent()
        && (book.lostMemory() || !(book.settled() || book.mine(shown.taken())))) {
      bookByTotalizer(book.open().get(), "PLC does not know it");
    }
    emit(
        new DosingEvent.Resynchronised(
            rules.tank(), sight.now(), shown.taken(), shown.abandonedTo(), shown.holder(), author));
    book = book.with(book.watch().left());
  }

  private void conclude(Standing shown) {
    countOthers(shown);
    if (book.open().isPresent() && !book.lostMemory()) {
      settle(book.open().get(), shown);
    }
  }

  private void takeOutcome(WriteOutcome outcome) {
    if (!(outcome.what() instanceof LineWrite.Submit submit) || !isOpen(submit.block().number())) {
      return;
    }
    OpenOrder open = book.open().orElseThrow();
    switch (outcome.result()) {
      case DONE -> change(open.in(OpenOrder.Phase.COMMITTED).writtenAt(sight.now().steady()));
      case UNKNOWN -> change(open.in(OpenOrder.Phase.WRITTEN).writtenAt(sight.now().steady()));
      case NOT_SENT -> change(open.abandoned("a write that was not sent"));
      case READ_BACK_DIFFERS -> {
        disagree(Disagreement.READ_BACK, open.order(), "block not committed");
        change(open.in(OpenOrder.Phase.WRITTEN).abandoned("a block read back otherwise"));
      }
    }
  }

  private boolean isOpen(long number) {
    return book.open().map(o -> o.order().number() == number).orElse(false);
  }

  /** What a panel run puts through the totalizer of the open order is not the order's. */
  private OpenOrder counted(OpenOrder open, LineWatch before) {
    double ml = sight.flowedMl(open.order().product());
    if (Double.isNaN(ml)) {
      return open.withoutTotal();
    }
    return book.watch().panelRunSince(before) ? open.withPanelMl(open.panelMl() + ml) : open;
  }

  /**
   * A heartbeat that counted although this instance never wrote it: someone else uses its epoch.
   * Under another epoch it is the new holder's.
   */
  private void checkHeartbeat(LineWatch before) {
    LineWatch seen = book.watch();
    boolean changed = seen.seenHeartbeat() != before.seenHeartbeat() && before.seenHeartbeat() >= 0;
    boolean underOurs = seen.words().map(w -> w.holderEpoch() == book.epoch()).orElse(false);
    if (book.holds() && underOurs && changed && !seen.ownHeartbeat(seen.seenHeartbeat())) {
      disagree(
          Disagreement.SOMEONE_ELSE_COMMANDS,
          0,
          "heartbeat_seen " + seen.seenHeartbeat() + ", last written " + seen.beat());
    }
  }

  private void checkNumbers(LineNumbers shown) {
    if (shown.taken() < book.highestTaken()
        || shown.abandonedTo() < book.highestAbandonedTo()
        || shown.holder() < book.highestHolder()) {
      disagree(Disagreement.MEMORY_LOST, shown.taken(), against(shown));
    } else if (shown.holder() == book.epoch() && shown.holder() > 0) {
      checkAsHolder(shown);
    } else if (book.holder() && shown.holder() > book.highestHolder()) {
      disagree(Disagreement.DEPOSED, 0, against(shown));
    } else if (book.holder()) {
      checkForeign(shown);
    } else {
      adopt(shown);
    }
  }

  private void checkAsHolder(LineNumbers shown) {
    if (!book.holder()) {
      adopt(shown);
    }
    // Once command was left the PLC goes on showing its epoch: only a claim brings it back.
    boolean held = book.holder() ? book.highestHolder() < book.epoch() : book.watch().claimed();
    if (held) {
      emit(new DosingEvent.EpochHeld(rules.tank(), sight.now(), book.epoch()));
    }
    checkForeign(shown);
  }

  private void checkForeign(LineNumbers shown) {
    boolean foreignOrder = shown.taken() > book.highestTaken() && !book.mine(shown.taken());
    long ownAbandons = Math.max(book.highestAbandonedTo(), book.highestNumber());
    boolean unknownAbandon = shown.abandonedTo() > ownAbandons;
    boolean known = book.ownNumber(shown.abandonedTo()) || rules.pair().peers(shown.abandonedTo());
    if (foreignOrder || (unknownAbandon && !known)) {
      disagree(Disagreement.SOMEONE_ELSE_COMMANDS, shown.taken(), against(shown));
    } else if (unknownAbandon) {
      // A peer that was deposed ends its own open order; or an order of this instance that never
      // reached the record was abandoned before the process was killed.
      emit(
          new NumbersAdopted(
              rules.tank(),
              sight.now(),
              book.highestTaken(),
              shown.abandonedTo(),
              book.highestHolder()));
    }
  }

  private void adopt(LineNumbers shown) {
    boolean news =
        shown.taken() > book.highestTaken()
            || shown.abandonedTo() > book.highestAbandonedTo()
            || shown.holder() > book.highestHolder();
    if (news && !book.mine(shown.taken())) {
      emit(
          new NumbersAdopted(
              rules.tank(), sight.now(), shown.taken(), shown.abandonedTo(), shown.holder()));
    }
  }

  /** What another instance's order came to: the books of all instances together are the ledger. */
  private void countOthers(Standing shown) {
    long number = shown.taken();
    if (number > book.othersCounted() && !shown.open() && !book.ownNumber(number)) {
      OrderState state = shown.state() == PlcWords.DONE ? OrderState.DONE : OrderState.STOPPED;
      ReasonCode reason = ReasonCode.of(shown.reason());
      emit(
          new DosingEvent.OtherOrderCounted(
              rules.tank(), sight.now(), number, state, shown.deliveredMl(), reason));
    }
  }

  private String against(LineNumbers shown) {
    return Needs.say(
        "the PLC shows orders taken up to %d, abandoned to %d, epoch %d (instance %d); the book has"
            + " %d, %d, %d (instance %d)",
        shown.taken(),
        shown.abandonedTo(),
        shown.holder(),
        Pair.of(shown.holder()),
        book.highestTaken(),
        book.highestAbandonedTo(),
        book.highestHolder(),
        Pair.of(book.highestHolder()));
  }

  private void settle(OpenOrder open, Standing shown) {
    long number = open.order().number();
    if (shown.taken() == number) {
      follow(open, shown);
    } else if (shown.taken() > number) {
      bookByTotalizer(open, "PLC is at order " + shown.taken());
    } else if (shown.abandonedTo() >= number) {
      boolean refused = shown.refused() == number;
      int code = refused ? shown.refusedReason() : ReasonCode.ABANDONED.ordinal();
      comeToNothing(open, refused ? OrderState.REFUSED : OrderState.VOID, ReasonCode.of(code));
    } else if (shown.refused() == number || patienceIsOver(open)) {
      change(open.abandoned("waiting too long for the PLC to take it up"));
    }
  }

  private boolean patienceIsOver(OpenOrder open) {
    return !sight.now().steady().isBefore(open.writtenAt().plus(OrderRules.PATIENCE));
  }

  private void follow(OpenOrder open, Standing shown) {
    if (open.phase().compareTo(OpenOrder.Phase.RUNNING) < 0) {
      emit(new DosingEvent.OrderTaken(rules.tank(), sight.now(), open.order().number()));
    }
    if (!shown.open()) {
      close(open, shown);
    } else if (shown.state() != PlcWords.RUNNING) {
      change(book.open().orElseThrow().in(OpenOrder.Phase.CLOSING));
    }
  }

  private void close(OpenOrder open, Standing shown) {
    OrderState state = shown.state() == PlcWords.DONE ? OrderState.DONE : OrderState.STOPPED;
    ReasonCode reason = ReasonCode.of(shown.reason());
    double metered = unexplainedMl(open);
    emitClosed(open, state, shown.deliveredMl(), reason, metered);
    compare(open, state, reason, shown.deliveredMl(), metered);
  }

  /** Whether the order ran can only be told from the totalizer. */
  private void bookByTotalizer(OpenOrder open, String why) {
    double metered = unexplainedMl(open);
    // One that stood at nought may have lost its count with the memory: that shows nothing.
    boolean anew = book.lostMemory() && open.totalMlAtStart() == 0;
    boolean known = Double.isFinite(metered) && !anew;
    // Without a totalizer the larger of the two possible volumes is the one that limits more.
    long booked = known ? Math.round(metered) : open.order().orderedMl();
    emit(
        new OrderClosed(
            rules.tank(),
            sight.now(),
            open.order(),
            OrderState.STOPPED,
            booked,
            ReasonCode.UNKNOWN,
            Optional.empty(),
            metered,
            true));
    disagree(
        Disagreement.OVERTAKEN,
        open.order(),
        why + (known ? ", booked by totalizer" : ", totalizer unknown, booked as ordered"));
  }

  private void comeToNothing(OpenOrder open, OrderState state, ReasonCode reason) {
    emitClosed(open, state, 0, reason, unexplainedMl(open));
    book = book.with(book.watch().quiet(sight.now().steady().plus(OrderRules.QUIET)));
    if (book.foreignRefusals() >= REPEATED && book.latch().isEmpty()) {
      disagree(Disagreement.SOMEONE_ELSE_COMMANDS, open.order(), "refused: " + reason.words());
    }
  }

  private void compare(
      OpenOrder open, OrderState state, ReasonCode reason, long delivered, double metered) {
    Order order = open.order();
    double tolerance = rules.toleranceMl(order.product(), order.orderedMl());
    if (delivered - order.orderedMl() > tolerance) {
      disagree(Disagreement.OVER_DELIVERED, order, counts(order, delivered, metered));
    }
    boolean starved = reason == ReasonCode.NO_FLOW || reason == ReasonCode.TIME_LIMIT;
    if (state == OrderState.STOPPED && starved && order.orderedMl() - delivered > tolerance) {
      disagree(Disagreement.SHORT, order, counts(order, delivered, metered));
    }
    double unseen = rules.unseenMl(order.product(), reason, delivered);
    if (unseen > 0) {
      disagree(
          Disagreement.UNSEEN_FLOW,
          order,
          Needs.say(
              "ordered %d mL, booked %d mL, of which up to %.0f mL may not have flowed: nobody saw"
                  + " when the output dropped",
              order.orderedMl(), delivered, unseen));
    }
    if (rules.metered(order.product())
        && Math.abs(metered - delivered) > rules.toleranceMl(order.product(), delivered)) {
      disagree(Disagreement.TOTALIZER, order, counts(order, delivered, metered));
    }
  }

  private static String counts(Order order, long delivered, double metered) {
    return Needs.say(
        "ordered %d mL, delivered %d mL, totalizer %.0f mL", order.orderedMl(), delivered, metered);
  }

  /** What the totalizer saw since the order was prepared, less panel runs, mL; NaN if unknown. */
  private double unexplainedMl(OpenOrder open) {
    Product product = open.order().product();
    double ml = difference(open.totalMlAtStart(), sight.totalMl(product));
    Duration elapsed = Duration.between(open.preparedAt().steady(), sight.now().steady());
    return ml <= rules.plausibleMl(product, elapsed)
        ? Math.max(ml - open.panelMl(), 0)
        : Double.NaN;
  }

  /** Unsigned 32 bit difference of a totalizer, mL; NaN if either is. */
  private static double difference(double from, double to) {
    double ml = to - from;
    return ml < 0 ? ml + WRAP_ML : ml;
  }

  private void emitClosed(
      OpenOrder open, OrderState state, long delivered, ReasonCode reason, double metered) {
    emit(
        new OrderClosed(
            rules.tank(),
            sight.now(),
            open.order(),
            state,
            delivered,
            reason,
            reason == ReasonCode.ABANDONED ? open.stoppedBy() : Optional.empty(),
            metered,
            false));
  }

  /** About nobody's order, or another's: {@code number} may be 0. */
  private void disagree(Disagreement what, long number, String detail) {
    emit(new OrderDisagrees(rules.tank(), sight.now(), what, number, Optional.empty(), detail));
  }

  private void disagree(Disagreement what, Order order, String detail) {
    emit(
        new OrderDisagrees(
            rules.tank(), sight.now(), what, order.number(), Optional.of(order.product()), detail));
  }

  private void change(OpenOrder open) {
    book = book.with(open);
  }

  private void emit(DosingEvent event) {
    events.add(event);
    book = book.after(event);
  }
}
