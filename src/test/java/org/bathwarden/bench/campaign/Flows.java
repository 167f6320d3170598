package org.bathwarden.bench.campaign;

import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.LongPredicate;
import java.util.function.ToLongFunction;
import org.bathwarden.bench.campaign.FlakyRecord.Durable;
import org.bathwarden.bench.campaign.PlcBook.Taken;
import org.bathwarden.bench.campaign.Verdict.Finding;
import org.bathwarden.bench.campaign.Verdict.Wrong;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Flow;
import org.bathwarden.dosing.OrderBook;
import org.bathwarden.dosing.Pair;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/**
 * Three books held against each other: what the meters counted and the PLC took up, what the
 * records booked, and what is in the tank. Adds up for itself: nothing of the ledger's or the order
 * book's own sums is used.
 */
final class Flows {

  private static final long TOLERANCE_ML = 2;
  private static final long[] PULSE_ML = {5, 50};
  private static final long TO_SAFE_MAX_MS = 6_000;

  /** What a pump runs on at 100 mL/s with a time constant of 0.25 s, mL. */
  private static final long RUN_DOWN_ML = 30;

  /** What wet parts bring in, as the scenario has it, L. */
  private static final double DRAG_IN_L_PER_LOAD = 0.3;

  private final Plant plant;
  private final List<PlcBook> books;
  private final List<Truth> before;
  private final boolean memoryLost;
  private final List<Finding> found;
  private long unbookedMl;

  /**
   * The books of one run.
   *
   * @param before what was in the tanks when it began
   * @param memoryLost whether the PLC lost its memory, totalizers and all
   * @param found takes what is wrong
   */
  Flows(
      Plant plant,
      List<PlcBook> books,
      List<Truth> before,
      boolean memoryLost,
      List<Finding> found) {
    this.plant = plant;
    this.books = books;
    this.before = before;
    this.memoryLost = memoryLost;
    this.found = found;
  }

  /** Volume that flowed and is in no book, or is in one and did not flow, mL. */
  long unbookedMl() {
    return unbookedMl;
  }

  /** One order as the records tell it. */
  static final class Booked {
    private int prepared;
    private int closed;
    private long deliveredMl;
    private boolean atMost;
    private boolean concentrate;
    private long preparedMs;
    private long closedMs;
  }

  /** Reads a record's events of one tank; each order must be settled before the next is made. */
  void read(TankId id, List<Durable> events, Map<Long, Booked> booked) {
    Optional<Long> unsettled = Optional.empty();
    for (Durable durable : events) {
      if (!(durable.event() instanceof Fact.Dosed dosed) || !dosed.tank().equals(id)) {
        continue;
      }
      if (dosed.event() instanceof DosingEvent.OrderPrepared e) {
        long number = e.order().number();
        Booked order = booked.computeIfAbsent(number, n -> new Booked());
        order.prepared++;
        order.preparedMs = durable.atMs();
        order.concentrate = e.order().product() == Product.CONCENTRATE;
        if (unsettled.isPresent()) {
          wrong(Wrong.DOUBLE_DOSE, "order %d made while %d was open", number, unsettled.get());
        }
        unsettled = Optional.of(number);
      } else if (dosed.event() instanceof DosingEvent.OrderClosed e) {
        Booked order = booked.computeIfAbsent(e.order().number(), n -> new Booked());
        order.closed++;
        order.deliveredMl += e.deliveredMl();
        order.atMost |= e.atMost();
        order.closedMs = durable.atMs();
        unsettled = Optional.empty();
      }
    }
  }

  /** Tanks that share a pump have one order of it between them until its count is closed. */
  void sharedPump(List<Durable> events) {
    Map<TankId, Long> open = new HashMap<>();
    for (Durable durable : events) {
      if (durable.event() instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.OrderPrepared e
          && e.order().product() == Product.CONCENTRATE) {
        open.put(e.tank(), e.order().number());
        if (open.size() > 1) {
          wrong(Wrong.DOUBLE_DOSE, "orders of one pump at a time: %s", open);
        }
      } else if (durable.event() instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.OrderClosed e) {
        open.remove(e.tank(), e.order().number());
      }
    }
  }

  /**
   * Holds what the records booked against what flowed.
   *
   * @param open orders of which a controller says that they are open still: no loss
   */
  void compare(int tank, Map<Long, Booked> booked, LongPredicate open) {
    Map<Long, Long> flowed = new HashMap<>();
    for (Taken taken : books.get(tank).orders()) {
      if (flowed.put(taken.number, taken.flowedMl) != null) {
        wrong(Wrong.DOUBLE_DOSE, "taken up twice: %s", taken);
      }
      if (!booked.containsKey(taken.number) || booked.get(taken.number).prepared == 0) {
        wrong(Wrong.DOUBLE_DOSE, "no record knows %s", taken);
      }
    }
    booked.forEach(
        (number, order) -> {
          if (order.prepared > 1) {
            wrong(Wrong.DOUBLE_DOSE, "order %d was made %d times", number, order.prepared);
          }
          if (order.closed > 1) {
            wrong(Wrong.DOUBLE_DOSE, "order %d was booked %d times", number, order.closed);
          }
          long really = flowed.getOrDefault(number, 0L);
          if (order.closed > 0) {
            compare(books.get(tank), number, order, really);
          } else if (!open.test(number)) {
            wrong(Wrong.UNBOOKED, "order %d was never booked, %d mL flowed", number, really);
          }
        });
  }

  private void compare(PlcBook plc, long number, Booked order, long really) {
    long off = order.deliveredMl - really;
    long grain = order.atMost ? 2 * PULSE_ML[order.concentrate ? 0 : 1] : 0;
    // Where the PLC forgot its totalizer too, what was ordered is booked: the most that can have
    // flowed, but for the pump's running on.
    boolean forgot = order.atMost && memoryLost;
    long mostOff = TOLERANCE_ML + grain + othersMl(plc, number, order);
    if ((off < -TOLERANCE_ML - grain || off > mostOff) && !(forgot && off > -RUN_DOWN_ML)) {
      unbookedMl += Math.abs(off);
      wrong(
          Wrong.UNBOOKED,
          "order %d: %d mL flowed, %d mL booked",
          number,
          really,
          order.deliveredMl);
    }
  }

  /**
   * What a booking may be too large by: line contract, controller rule 2, has an order that another
   * overtook booked by the totalizer, which counts everyone's flow. Only where the record says that
   * it is the most, and the PLC took up another instance's order before it was booked; and no more
   * than the meter really counted beside it in that time.
   */
  private static long othersMl(PlcBook plc, long number, Booked order) {
    boolean overtaken =
        plc.orders().stream()
            .anyMatch(
                taken ->
                    taken.number > number
                        && Pair.of(taken.number) != Pair.of(number)
                        && taken.takenMs <= order.closedMs);
    if (!order.atMost || !overtaken) {
      return 0;
    }
    int p = order.concentrate ? 0 : 1;
    long meteredMl = plc.betweenMl(p, order.preparedMs, order.closedMs);
    long itsMl =
        plc.orders().stream().filter(t -> t.number == number).mapToLong(t -> t.flowedMl).sum();
    return Math.max(0, meteredMl - itsMl);
  }

  /**
   * What a controller's limits are reckoned with against what flowed.
   *
   * @param chargedMl what flowed while a bath was made up, which counts against no limit
   */
  void ledger(int tank, List<Flow> flows, OrderBook book, ToLongFunction<Product> chargedMl) {
    for (Product product : Product.values()) {
      int p = product == Product.CONCENTRATE ? 0 : 1;
      double litres = 0;
      for (Flow flow : flows) {
        litres += flow.product() == product ? flow.litres() : 0;
      }
      long seen = books.get(tank).seenMl(p) - openMl(book, books.get(tank), product);
      long off = Math.round(1000 * litres) - seen;
      long tolerance = TOLERANCE_ML + 2 * PULSE_ML[p];
      if (off > tolerance || off < -tolerance - chargedMl.applyAsLong(product)) {
        unbookedMl += Math.abs(off);
        wrong(
            Wrong.UNBOOKED,
            "%s, tank %d: %d mL seen, ledger has %+d mL more",
            product.word(),
            tank + 1,
            seen,
            off);
      }
    }
  }

  /** What flowed for the order that the book still has open. */
  private static long openMl(OrderBook book, PlcBook plc, Product product) {
    return book.open()
        .filter(open -> open.order().product() == product)
        .map(open -> open.order().number())
        .flatMap(n -> plc.orders().stream().filter(o -> o.number == n).findFirst())
        .map(o -> o.flowedMl)
        .orElse(0L);
  }

  /** What is in the tank more than at the start is what the meters counted, and the books hold. */
  void balance(int tank) {
    Truth then = before.get(tank);
    Truth now = plant.truth(tank);
    PlcBook book = books.get(tank);
    double[] inMl = {
      now.concentrateInMl() - then.concentrateInMl(), now.waterInMl() - then.waterInMl()
    };
    for (int p = 0; p < 2; p++) {
      double counted = book.seenMl(p) + book.unseenMl(p) + plant.pouredMl(tank, p);
      if (Math.abs(inMl[p] - counted) > TOLERANCE_ML + PULSE_ML[p]) {
        wrong(Wrong.UNBOOKED, "tank %d: %.0f mL came in, %.0f counted", tank + 1, inMl[p], counted);
      }
    }
    double outL =
        (now.dragOutL() - then.dragOutL())
            + (now.evaporatedL() - then.evaporatedL())
            + (now.lostL() - then.lostL());
    double inL = (inMl[0] + inMl[1]) / 1000 + DRAG_IN_L_PER_LOAD * (now.loads() - then.loads());
    double restL = now.volumeAt20L() - then.volumeAt20L() - inL + outL;
    if (Math.abs(restL) > 1) {
      wrong(Wrong.UNBOOKED, "tank %d: the liquid itself is off by %.2f L", tank + 1, restL);
    }
  }

  /** Whether an output was ever driven without a permit, or without a heartbeat, for too long. */
  void safety(int tank) {
    PlcBook book = books.get(tank);
    if (book.scansWithoutPermit() > 0) {
      wrong(
          Wrong.WITHOUT_PERMIT,
          "tank %d: an output was driven %d ms without a permit",
          tank + 1,
          book.longestMissingMs());
    }
    if (book.longestDeafMs() > TO_SAFE_MAX_MS) {
      wrong(
          Wrong.NOT_SAFE,
          "tank %d: an output was driven %d ms after the last heartbeat",
          tank + 1,
          book.longestDeafMs());
    }
  }

  private void wrong(Wrong what, String format, Object... values) {
    found.add(new Finding(what, String.format(Locale.ROOT, format, values)));
  }
}
