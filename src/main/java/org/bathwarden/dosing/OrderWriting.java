package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.bathwarden.dosing.DosingEvent.CommandLeft;
import org.bathwarden.dosing.DosingEvent.EpochClaimed;
import org.bathwarden.dosing.DosingEvent.OrderPrepared;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.PlcWords;

/**
 * Second half of an order book's pass: abandon, heartbeat, claim, order (line contract, controller
 * rules 1, 3, 6, 7, 8 and 11). Lives for one step.
 */
final class OrderWriting {

  /** A claim that was not obeyed by then is cleared, to be repeated once patience is over. */
  private static final Duration CLEARED_AFTER = OrderRules.CLAIM_PATIENCE.minusSeconds(1);

  private final OrderRules rules;
  private final Intent intent;
  private final LineSight sight;
  private final Instant steady;
  private final List<DosingEvent> events = new ArrayList<>();
  private final List<LineWrite> writes = new ArrayList<>();
  private OrderBook book;

  OrderWriting(OrderBook before, OrderRules rules, Intent intent, LineSight sight) {
    this.book = before;
    this.rules = rules;
    this.intent = intent;
    this.sight = sight;
    this.steady = sight.now().steady();
  }

  BookStep step() {
    if (intent.command() || intent.leaving()) {
      boolean off = intent.failOff() || book.watch().stale(steady);
      boolean left = intent.leaving() && book.canLeave();
      abandon(off);
      if (!off && !left && !intent.silent() && book.holds()) {
        beat();
      }
      if (left) {
        leave();
      } else if (!off && !intent.leaving()) {
        claim();
        order();
      }
    }
    return new BookStep(book, events, writes);
  }

  private void abandon(boolean off) {
    book.open().ifPresent(o -> why(off).ifPresent(why -> book = book.with(o.abandoned(why))));
    long upTo = book.open().filter(OpenOrder::abandoning).map(o -> o.order().number()).orElse(0L);
    if (book.foreignOrderRuns()) {
      upTo = Math.max(upTo, book.watch().standing().shown().map(Standing::taken).orElse(0L));
    }
    long shown = book.watch().concludedNumbers().map(LineNumbers::abandonedTo).orElse(0L);
    if (upTo > shown) {
      // abandon_to never decreases, not even against what another instance raised it to.
      writes.add(new LineWrite.Abandon(rules.tank(), Math.max(upTo, book.highestAbandonedTo())));
    }
  }

  private Optional<String> why(boolean off) {
    if (intent.stop().isPresent()) {
      return intent.stop();
    }
    if (off) {
      return Optional.of(intent.failOff() ? "failing scans" : "data stale");
    }
    if (book.latch().isPresent()) {
      return Optional.of("order book disagrees");
    }
    return intent.leaving() ? Optional.of("leaving command mode") : Optional.empty();
  }

  private void beat() {
    book = book.with(book.watch().beating());
    writes.add(new LineWrite.Beat(rules.tank(), book.watch().beat(), book.epoch()));
  }

  private void leave() {
    if (book.holder()) {
      emit(new CommandLeft(rules.tank(), sight.now()));
    }
    book = book.with(book.watch().left());
  }

  private void claim() {
    LineWatch watch = book.watch();
    if (watch.concludedNumbers().isEmpty() || book.latch().isPresent() || !intent.mayPrepare()) {
      return;
    }
    LineNumbers shown = watch.concludedNumbers().get();
    boolean obeyed = watch.claimed() && shown.holder() == book.epoch();
    boolean waiting =
        watch.claimed() && steady.isBefore(watch.claimedAt().plus(OrderRules.CLAIM_PATIENCE));
    if (!obeyed && waiting && !steady.isBefore(watch.claimedAt().plus(CLEARED_AFTER))) {
      writes.add(new LineWrite.ClaimEpoch(rules.tank(), 0));
    }
    if (obeyed || waiting || !(watch.asked() || mayTake(shown))) {
      return;
    }
    boolean repeat = watch.claimed() && book.epoch() > shown.holder();
    OptionalLong epoch = repeat ? OptionalLong.of(book.epoch()) : book.nextEpoch(shown);
    if (epoch.isPresent()) {
      emit(new EpochClaimed(rules.tank(), sight.now(), epoch.getAsLong()));
      book = book.with(book.watch().claiming(steady));
      writes.add(new LineWrite.ClaimEpoch(rules.tank(), epoch.getAsLong()));
    }
  }

  /** Whether the line is free for this instance: the heartbeat is dead, and it is its turn. */
  private boolean mayTake(LineNumbers shown) {
    LineWatch watch = book.watch();
    Pair pair = rules.pair();
    return pair.mayTake(shown.holder())
        && watch.heartbeatDead(steady, pair.grace(shown.holder(), watch.seenBeating()));
  }

  private void order() {
    if (intent.wish().isEmpty()
        || intent.stop().isPresent()
        || !intent.mayPrepare()
        || !book.ready(sight)) {
      return;
    }
    Wish wish = intent.wish().get();
    PlcWords words = sight.words().orElseThrow();
    OptionalLong number = book.nextNumber(Standing.of(words));
    if (number.isEmpty() || !rules.deliveries().containsKey(wish.product())) {
      return;
    }
    Order order =
        new Order(
            number.getAsLong(),
            book.instance(),
            wish.product(),
            wish.volumeMl(),
            wish.timeLimitS(),
            book.epoch(),
            words.plcHeartbeat(),
            wish.reason());
    double totalMl = sight.totalMl(wish.product());
    emit(new OrderPrepared(rules.tank(), sight.now(), order, totalMl, sight.settledLevelL()));
    writes.add(new LineWrite.Submit(rules.tank(), rules.tankNumber(), order.block()));
  }

  private void emit(DosingEvent event) {
    events.add(event);
    book = book.after(event);
  }
}
