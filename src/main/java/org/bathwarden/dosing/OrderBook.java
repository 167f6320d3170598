package org.bathwarden.dosing;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/**
 * What one tank's orders have come to. Immutable plain data. Everything but {@link #watch} follows
 * from the events alone ({@link #after}), so it is the same after a restart; {@link #watch} begins
 * anew ({@link #restarted}).
 *
 * @param tank the tank
 * @param instance number i of this instance, 1 to 15
 * @param highestNumber highest order number this instance used
 * @param highestTaken highest {@code order_taken} concluded
 * @param highestAbandonedTo highest {@code abandoned_to} concluded
 * @param highestHolder highest {@code holder_epoch} concluded
 * @param epoch last epoch this instance claimed; 0 before the first
 * @param holder whether the PLC obeyed this instance when it was last heard, and command was not
 *     left in good order since
 * @param foreignRefusals refusals 8 and 11 in a row
 * @param othersCounted highest order number of another instance whose final count was recorded
 * @param open the order that is not settled
 * @param latch why nothing is ordered until an engineer resynchronises
 * @param watch what this process has seen and written
 */
public record OrderBook(
    TankId tank,
    int instance,
    long highestNumber,
    long highestTaken,
    long highestAbandonedTo,
    long highestHolder,
    long epoch,
    boolean holder,
    int foreignRefusals,
    long othersCounted,
    Optional<OpenOrder> open,
    Optional<Disagreement> latch,
    LineWatch watch) {

  private static final long LARGEST = 0xFFFF_FFFFL;

  /** PLC rule 1: a number further ahead of {@code order_taken} than this is refused. */
  private static final long NUMBER_WINDOW = 10_000;

  /** The book of a tank that never ordered anything. */
  public static OrderBook blank(TankId tank, int instance) {
    return new OrderBook(
        tank,
        instance,
        0,
        0,
        0,
        0,
        0,
        false,
        0,
        0,
        Optional.empty(),
        Optional.empty(),
        LineWatch.NOTHING);
  }

  /** The book as a new process finds it: what was seen and written before is not known any more. */
  public OrderBook restarted() {
    return with(LineWatch.NOTHING);
  }

  /** First half of a pass: takes in what the line shows and settles what can be settled. */
  public BookStep observe(OrderRules rules, LineSight sight) {
    return new OrderReading(this, rules, sight).step();
  }

  /** Second half of a pass: what to write. In {@code off} and {@code propose} that is nothing. */
  public BookStep act(OrderRules rules, Intent intent, LineSight sight) {
    return new OrderWriting(this, rules, intent, sight).step();
  }

  /**
   * An engineer takes what the PLC shows as the new basis. The line is taken as after a start: not
   * while another instance's heartbeat lives, unless a person asks for that too. An order that was
   * open when the PLC lost its memory, or before a restart, and that it does not show, is booked by
   * the totalizer. Nothing happens while two images have not agreed: then there are no events.
   */
  public BookStep resynchronise(OrderRules rules, LineSight sight, String author) {
    return new OrderReading(this, rules, sight).resynchronise(author);
  }

  /** A person has this instance take the line, whoever holds it, as soon as it is in command. */
  BookStep askFor(Now now, String author) {
    DosingEvent asked = new DosingEvent.LineAskedFor(tank, now, author);
    return new BookStep(with(watch.askedFor()), List.of(asked), List.of());
  }

  /** Whether this process is holder and the PLC hears it. */
  public boolean inCommand() {
    return holds() && watch.heartbeatCounts();
  }

  /** Whether no order from before this process took command is open. */
  public boolean settled() {
    return open.map(o -> watch.claimed() && o.order().epoch() == epoch).orElse(true);
  }

  /** Whether a new order could be made now, if one were wanted. */
  public boolean ready(LineSight sight) {
    return inCommand()
        && open.isEmpty()
        && watch.settledIn()
        && watch.heard()
        && !watch.stale(sight.now().steady())
        && !watch.standing().shown().map(Standing::open).orElse(true)
        && !sight.now().steady().isBefore(watch.quietUntil());
  }

  /** Whether nothing is left to do before command can be left. */
  boolean canLeave() {
    boolean gone = open.isEmpty() || (lostMemory() && abandonShown(open.get().order().number()));
    return gone && !foreignOrderRuns();
  }

  /** Whether the PLC obeys the epoch this process claimed. */
  boolean holds() {
    return latch.isEmpty() && holder && watch.claimed() && shownHolder() == epoch;
  }

  /** The epoch that the PLC obeys, as last concluded. */
  public long shownHolder() {
    return watch.concludedNumbers().map(LineNumbers::holder).orElse(highestHolder);
  }

  /** What this instance is to the line at {@code steady}. */
  public LineRole role(Pair pair, Instant steady) {
    if (latch.filter(why -> why == Disagreement.DEPOSED).isPresent()) {
      return LineRole.DEPOSED;
    } else if (holds()) {
      return LineRole.HOLDER;
    }
    boolean anotherBeats = watch.heartbeatLives(steady) && shownHolder() != epoch;
    boolean anotherExpected = pair.shared() && !pair.first(shownHolder());
    return anotherBeats || anotherExpected ? LineRole.STANDBY : LineRole.NONE;
  }

  /** Whether an order runs under this instance's epoch that it did not make. */
  boolean foreignOrderRuns() {
    return latch.filter(why -> why == Disagreement.SOMEONE_ELSE_COMMANDS).isPresent()
        && watch
            .standing()
            .shown()
            .map(s -> s.open() && s.holder() == epoch && !mine(s.taken()))
            .orElse(false);
  }

  boolean lostMemory() {
    return latch.filter(why -> why == Disagreement.MEMORY_LOST).isPresent();
  }

  /** Whether {@code number} is that of the open order. */
  boolean mine(long number) {
    return open.map(o -> o.order().number() == number).orElse(false);
  }

  private boolean abandonShown(long number) {
    return watch.concludedNumbers().map(s -> s.abandonedTo() >= number).orElse(false);
  }

  /** The next epoch: ≡ i modulo 16, above everything read and stored; empty if there is none. */
  OptionalLong nextEpoch(LineNumbers shown) {
    return next(Math.max(Math.max(epoch, highestHolder), shown.holder()), LARGEST);
  }

  /** The next order number, likewise, within what the PLC takes. */
  OptionalLong nextNumber(Standing standing) {
    long window = standing.taken() == 0 ? LARGEST : standing.taken() + NUMBER_WINDOW;
    long above = Math.max(highestNumber, Math.max(highestTaken, highestAbandonedTo));
    above = Math.max(above, Math.max(standing.taken(), standing.abandonedTo()));
    // A refused number can be anything that a stray writer committed; it counts if it can be ours.
    boolean plausible = standing.refused() <= standing.taken() + NUMBER_WINDOW;
    above = Math.max(above, plausible ? standing.refused() : 0);
    return next(above, Math.min(window, LARGEST));
  }

  /** Whether only this instance uses {@code number}. */
  boolean ownNumber(long number) {
    return Pair.of(number) == instance;
  }

  private OptionalLong next(long above, long limit) {
    long next = above - Math.floorMod(above - instance, (long) Pair.INSTANCES) + Pair.INSTANCES;
    return next <= limit ? OptionalLong.of(next) : OptionalLong.empty();
  }

  /** The book after {@code event}; events that are not about orders change nothing. */
  public OrderBook after(DosingEvent event) {
    if (event instanceof DosingEvent.OrderPrepared e) {
      return prepared(e);
    } else if (event instanceof DosingEvent.OrderTaken e) {
      Optional<OpenOrder> running = open.map(o -> o.in(OpenOrder.Phase.RUNNING));
      return book(Math.max(highestTaken, e.number()), highestAbandonedTo, 0, running);
    } else if (event instanceof DosingEvent.OrderClosed e) {
      return closed(e);
    } else if (event instanceof DosingEvent.OrderDisagrees e) {
      return e.what().latches() ? latched(e.what()) : this;
    } else if (event instanceof DosingEvent.EpochClaimed e) {
      return holding(highestHolder, e.epoch(), holder);
    } else if (event instanceof DosingEvent.EpochHeld e) {
      return holding(Math.max(highestHolder, e.epoch()), epoch, true);
    } else if (event instanceof DosingEvent.CommandLeft) {
      return holding(highestHolder, epoch, false);
    } else if (event instanceof DosingEvent.NumbersAdopted e) {
      return book(e.taken(), e.abandonedTo(), foreignRefusals, open)
          .holding(e.holder(), epoch, holder);
    } else if (event instanceof DosingEvent.OtherOrderCounted e) {
      return counted(e.number());
    } else if (event instanceof DosingEvent.Resynchronised e) {
      return book(e.taken(), e.abandonedTo(), 0, open)
          .holding(e.holder(), epoch, false)
          .latch(Optional.empty());
    }
    return this;
  }

  private OrderBook prepared(DosingEvent.OrderPrepared e) {
    OpenOrder order =
        new OpenOrder(
            e.order(),
            OpenOrder.Phase.PREPARED,
            e.at(),
            e.at().steady(),
            Optional.empty(),
            e.totalMl(),
            e.levelL(),
            0);
    long number = Math.max(highestNumber, e.order().number());
    return new OrderBook(
        tank,
        instance,
        number,
        highestTaken,
        highestAbandonedTo,
        highestHolder,
        epoch,
        holder,
        foreignRefusals,
        othersCounted,
        Optional.of(order),
        latch,
        watch);
  }

  private OrderBook closed(DosingEvent.OrderClosed e) {
    long number = e.order().number();
    boolean neverRan = e.state() == OrderState.VOID || e.state() == OrderState.REFUSED;
    boolean foreign =
        e.state() == OrderState.REFUSED
            && (e.reason() == ReasonCode.NOT_THE_HOLDER || e.reason() == ReasonCode.CHECK_MISMATCH);
    return book(
        neverRan ? highestTaken : Math.max(highestTaken, number),
        neverRan ? Math.max(highestAbandonedTo, number) : highestAbandonedTo,
        foreign ? foreignRefusals + 1 : foreignRefusals,
        Optional.empty());
  }

  private OrderBook latched(Disagreement why) {
    OrderBook latched = latch.isEmpty() ? latch(Optional.of(why)) : this;
    return why == Disagreement.DEPOSED
        ? latched.holding(latched.highestHolder, latched.epoch, false)
        : latched;
  }

  OrderBook with(LineWatch seen) {
    return new OrderBook(
        tank,
        instance,
        highestNumber,
        highestTaken,
        highestAbandonedTo,
        highestHolder,
        epoch,
        holder,
        foreignRefusals,
        othersCounted,
        open,
        latch,
        seen);
  }

  OrderBook with(OpenOrder order) {
    return book(highestTaken, highestAbandonedTo, foreignRefusals, Optional.of(order));
  }

  private OrderBook book(long taken, long abandonedTo, int refusals, Optional<OpenOrder> order) {
    return new OrderBook(
        tank,
        instance,
        highestNumber,
        taken,
        abandonedTo,
        highestHolder,
        epoch,
        holder,
        refusals,
        othersCounted,
        order,
        latch,
        watch);
  }

  private OrderBook holding(long newHighest, long newEpoch, boolean newHolder) {
    return new OrderBook(
        tank,
        instance,
        highestNumber,
        highestTaken,
        highestAbandonedTo,
        newHighest,
        newEpoch,
        newHolder,
        foreignRefusals,
        othersCounted,
        open,
        latch,
        watch);
  }

  private OrderBook counted(long number) {
    return new OrderBook(
        tank,
        instance,
        highestNumber,
        highestTaken,
        highestAbandonedTo,
        highestHolder,
        epoch,
        holder,
        foreignRefusals,
        number,
        open,
        latch,
        watch);
  }

  private OrderBook latch(Optional<Disagreement> why) {
    return new OrderBook(
        tank,
        instance,
        highestNumber,
        highestTaken,
        highestAbandonedTo,
        highestHolder,
        epoch,
        holder,
        foreignRefusals,
        othersCounted,
        open,
        why,
        watch);
  }
}
