package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Consumer;
import org.bathwarden.bench.campaign.FlakyRecord.Durable;
import org.bathwarden.bench.campaign.PlcBook.Taken;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Flow;
import org.bathwarden.dosing.LineRole;
import org.bathwarden.tank.Product;

/**
 * Holds what flowed against the books of two controllers taken together: an order counts as its own
 * controller counted it or, where that was away and could only guess by the totalizer, as the other
 * saw it end; and it never ran if the other took the line before it was taken up. Nothing of the
 * books' own sums is used.
 */
final class TakeoverAudit {

  private static final long TOLERANCE_ML = 2;
  private static final long[] PULSE_ML = {5, 50};

  private final TwoControllers world;
  private final List<String> wrong = new ArrayList<>();
  private final Map<Long, Booked> booked = new HashMap<>();

  /** For each epoch the last order that the PLC had taken up when it began to command. */
  private final TreeMap<Long, Long> takenUpTo = new TreeMap<>();

  private int doubleDoses;
  private long misbookedMl;

  /**
   * What a run came to.
   *
   * @param wrong what must not be, in words
   * @param orders orders the PLC took up
   */
  record Outcome(
      List<String> wrong,
      int orders,
      int takeovers,
      int doubleDoses,
      long misbookedMl,
      long longestMs,
      List<LineRole> ends) {}

  /** One order as the books tell it. */
  private static final class Booked {
    int prepared;
    long epoch;
    int closed;
    long deliveredMl;
    boolean guessed;
    long seenByOtherMl = -1;
  }

  private TakeoverAudit(TwoControllers world) {
    this.world = world;
  }

  /** Runs {@code seed} to its end and judges it. */
  static Outcome of(TakeoverSeed seed, Setting setting, Consumer<String> teller) {
    return of(new TwoControllers(seed, setting, teller));
  }

  /** Runs {@code world} to its end and judges it. */
  static Outcome of(TwoControllers world) {
    world.run();
    return new TakeoverAudit(world).judge();
  }

  private Outcome judge() {
    List<LineRole> ends = world.roles();
    boolean oneHolds = ends.stream().filter(role -> role == LineRole.HOLDER).count() == 1;
    if (!world.struckLate() && !(oneHolds && ends.contains(LineRole.STANDBY))) {
      wrong("ends as %s", ends);
    }
    world.instances().forEach(this::ledger);
    world.instances().forEach(Instance::close);
    world.instances().forEach(this::read);
    compare();
    wrong.addAll(world.wrong());
    return new Outcome(
        List.copyOf(wrong),
        world.plc().orders().size(),
        world.takeovers(),
        doubleDoses,
        misbookedMl,
        world.longestMs(),
        ends);
  }

  private void read(Instance instance) {
    for (Durable durable : instance.durable()) {
      if (!(durable.event() instanceof Fact.Dosed dosed)) {
        continue;
      }
      if (dosed.event() instanceof DosingEvent.OrderPrepared e) {
        order(e.order().number()).prepared++;
        order(e.order().number()).epoch = e.order().epoch();
      } else if (dosed.event() instanceof DosingEvent.OrderClosed e) {
        Booked order = order(e.order().number());
        order.closed++;
        order.deliveredMl += e.deliveredMl();
        order.guessed |= e.atMost();
      } else if (dosed.event() instanceof DosingEvent.NumbersAdopted e) {
        takenUpTo.merge(e.holder(), e.taken(), Math::min);
      } else if (dosed.event() instanceof DosingEvent.OtherOrderCounted e) {
        order(e.number()).seenByOtherMl = e.deliveredMl();
      }
    }
  }

  private Booked order(long number) {
    return booked.computeIfAbsent(number, n -> new Booked());
  }

  private void compare() {
    Map<Long, Long> flowed = new HashMap<>();
    for (Taken taken : world.plc().orders()) {
      if (flowed.put(taken.number, taken.flowedMl) != null) {
        doubled("taken up twice: %s", taken);
      }
      if (order(taken.number).prepared != 1) {
        doubled("%s was made %d times", taken, order(taken.number).prepared);
      }
    }
    booked.forEach((number, order) -> compare(number, order, flowed.getOrDefault(number, 0L)));
  }

  private void compare(long number, Booked order, long flowedMl) {
    if (order.closed > 1) {
      doubled("order %d was booked %d times", number, order.closed);
    }
    if (order.closed == 0 && order.prepared > 0 && !open(number)) {
      wrong("order %d was never booked, %d mL flowed", number, flowedMl);
    }
    if (order.closed == 0 || (order.guessed && world.memoryLost())) {
      return;
    }
    long ml = order.guessed ? seenByOther(number, order) : order.deliveredMl;
    long off = Math.abs(ml - flowedMl);
    if (off > TOLERANCE_ML) {
      misbookedMl += off;
      wrong("order %d: %d mL flowed, %d mL in the books", number, flowedMl, ml);
    }
  }

  /** An epoch that began with a lower number taken up proves that this one never was. */
  private long seenByOther(long number, Booked order) {
    Map.Entry<Long, Long> next = takenUpTo.higherEntry(order.epoch);
    boolean neverRan = next != null && next.getValue() < number;
    return order.seenByOtherMl >= 0 ? order.seenByOtherMl : neverRan ? 0 : order.deliveredMl;
  }

  private boolean open(long number) {
    return world.instances().stream()
        .flatMap(i -> i.last(0).stream())
        .flatMap(result -> result.after().dosing().book().open().stream())
        .anyMatch(open -> open.order().number() == number);
  }

  /** What a controller's limits are reckoned with is what flowed, whoever ordered it. */
  private void ledger(Instance instance) {
    if (!instance.up() || world.memoryLost()) {
      return;
    }
    for (Product product : Product.values()) {
      int p = product == Product.CONCENTRATE ? 0 : 1;
      double litres = 0;
      for (Flow flow : instance.state(0).dosing().ledger().flows()) {
        litres += flow.product() == product ? flow.litres() : 0;
      }
      long open =
          instance.state(0).dosing().book().open().stream()
              .flatMap(
                  o ->
                      world.plc().orders().stream()
                          .filter(t -> t.number == o.order().number() && t.concentrate == (p == 0)))
              .mapToLong(t -> t.flowedMl)
              .sum();
      long off = Math.round(1000 * litres) - (world.plc().seenMl(p) - open);
      if (Math.abs(off) > TOLERANCE_ML + 2 * PULSE_ML[p]) {
        wrong("#%d: ledger of %s %+d mL off", instance.number(), product.word(), off);
      }
    }
  }

  private void doubled(String format, Object... values) {
    doubleDoses++;
    wrong(format, values);
  }

  private void wrong(String format, Object... values) {
    wrong.add(String.format(Locale.ROOT, format, values));
  }
}
