package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.bench.campaign.FlakyRecord.Durable;
import org.bathwarden.bench.campaign.PlcBook.Taken;
import org.bathwarden.bench.campaign.Verdict.Finding;
import org.bathwarden.bench.campaign.Verdict.Wrong;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.Disagreement;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Flow;
import org.bathwarden.dosing.OrderBook;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/**
 * Compares, after a sequence, what really flowed with what the controllers booked and with what is
 * in the tank. Adds up for itself: nothing of the ledger's or the order book's own sums is used.
 */
final class Audit {

  private static final long TOLERANCE_ML = 2;
  private static final long[] PULSE_ML = {5, 50};
  private static final long TO_SAFE_MAX_MS = 6_000;

  private final Plant plant;
  private final Troubles troubles;
  private final List<PlcBook> books;
  private final List<Instance> instances;
  private final List<Truth> before;
  private final List<Finding> found = new ArrayList<>();
  private long unbookedMl;

  Audit(
      Plant plant,
      Troubles troubles,
      List<PlcBook> books,
      List<Instance> instances,
      List<Truth> before) {
    this.plant = plant;
    this.troubles = troubles;
    this.books = books;
    this.instances = instances;
    this.before = before;
  }

  /** Judges the run as it stands; the instances are closed afterwards. */
  Verdict verdict() {
    books.forEach(PlcBook::close);
    List<String> ends = new ArrayList<>();
    for (int tank = 0; tank < books.size(); tank++) {
      balance(tank);
      safety(tank);
      for (Instance instance : instances) {
        ends.add(new End(instance, tank, instances).words(found));
        trips(instance);
      }
    }
    instances.stream().filter(Instance::up).forEach(this::ledger);
    instances.forEach(Instance::close);
    Map<Long, Booked> booked = new HashMap<>();
    instances.forEach(this::stored);
    for (int tank = 0; tank < books.size(); tank++) {
      booked.clear();
      for (Instance instance : instances) {
        read(instance, tank, booked);
      }
      compare(tank, booked);
    }
    new AlarmCheck(troubles, books, instances.get(0), found).run();
    return result(ends);
  }

  private Verdict result(List<String> ends) {
    Map<StrikeKind, Integer> struck = new EnumMap<>(StrikeKind.class);
    troubles.struck().forEach(s -> struck.merge(s.strike().kind(), 1, Integer::sum));
    return new Verdict(
        List.copyOf(found),
        struck,
        books.stream().mapToInt(b -> b.orders().size()).sum(),
        instances.stream().mapToInt(Instance::crashes).sum(),
        books.stream().mapToLong(PlcBook::longestDeafMs).max().orElse(0),
        books.stream().mapToInt(PlcBook::longestMissingMs).max().orElse(0),
        unbookedMl,
        ends);
  }

  /** One order as the records tell it. */
  private static final class Booked {
    int prepared;
    int closed;
    long deliveredMl;
    boolean byTotalizer;
    boolean concentrate;
  }

  /** Reads an instance's events of one tank; each order must be settled before the next is made. */
  private void read(Instance instance, int tank, Map<Long, Booked> booked) {
    TankId id = instance.tanks().get(tank).id();
    Optional<Long> unsettled = Optional.empty();
    for (Durable durable : instance.durable()) {
      if (!(durable.event() instanceof Fact.Dosed dosed) || !dosed.tank().equals(id)) {
        continue;
      }
      if (dosed.event() instanceof DosingEvent.OrderPrepared e) {
        long number = e.order().number();
        Booked order = booked.computeIfAbsent(number, n -> new Booked());
        order.prepared++;
        order.concentrate = e.order().product() == Product.CONCENTRATE;
        if (unsettled.isPresent()) {
          wrong(Wrong.DOUBLE_DOSE, "order %d made while %d was open", number, unsettled.get());
        }
        unsettled = Optional.of(number);
      } else if (dosed.event() instanceof DosingEvent.OrderClosed e) {
        Booked order = booked.computeIfAbsent(e.order().number(), n -> new Booked());
        order.closed++;
        order.deliveredMl += e.deliveredMl();
        order.byTotalizer |= e.reason() == ReasonCode.UNKNOWN;
        unsettled = Optional.empty();
      }
    }
  }

  private void compare(int tank, Map<Long, Booked> booked) {
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
          if (order.closed == 0) {
            if (!openInSomeBook(tank, number)) {
              wrong(Wrong.UNBOOKED, "order %d was never booked, %d mL flowed", number, really);
            }
            return;
          }
          long off = order.deliveredMl - really;
          long grain = order.byTotalizer ? 2 * PULSE_ML[order.concentrate ? 0 : 1] : 0;
          // Where the PLC forgot, the larger of the possible volumes is booked.
          boolean mayBeMore = order.byTotalizer && troubles.struckBy(StrikeKind.PLC_MEMORY_LOST);
          if (Math.abs(off) > TOLERANCE_ML + grain && !(mayBeMore && off > 0)) {
            unbookedMl += Math.abs(off);
            wrong(
                Wrong.UNBOOKED,
                "order %d: %d mL flowed, %d mL booked",
                number,
                really,
                order.deliveredMl);
          }
        });
  }

  /**
   * An order that is open at the end is no loss: its controller says so, and waits for a person.
   */
  private boolean openInSomeBook(int tank, long number) {
    return instances.stream()
        .flatMap(i -> i.last(tank).stream())
        .map(result -> result.after().dosing().book())
        .flatMap(book -> book.open().stream())
        .anyMatch(open -> open.order().number() == number);
  }

  /** What the first controller's limits are reckoned with against what flowed. */
  private void ledger(Instance instance) {
    if (instance.number() != Troubles.STRUCK || troubles.struckBy(StrikeKind.PLC_MEMORY_LOST)) {
      return;
    }
    for (int tank = 0; tank < books.size(); tank++) {
      for (Product product : Product.values()) {
        int p = product == Product.CONCENTRATE ? 0 : 1;
        double litres = 0;
        for (Flow flow : instance.state(tank).dosing().ledger().flows()) {
          litres += flow.product() == product ? flow.litres() : 0;
        }
        long open = openMl(instance.state(tank).dosing().book(), books.get(tank), product);
        long seen = books.get(tank).seenMl(p) - open;
        long off = Math.round(1000 * litres) - seen;
        if (Math.abs(off) > TOLERANCE_ML + 2 * PULSE_ML[p]) {
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
  private void balance(int tank) {
    Truth then = before.get(tank);
    Truth now = plant.truth(tank);
    PlcBook book = books.get(tank);
    double[] inMl = {
      now.concentrateInMl() - then.concentrateInMl(), now.waterInMl() - then.waterInMl()
    };
    for (int p = 0; p < 2; p++) {
      long counted = book.seenMl(p) + book.unseenMl(p);
      if (Math.abs(inMl[p] - counted) > TOLERANCE_ML + PULSE_ML[p]) {
        wrong(Wrong.UNBOOKED, "tank %d: %.0f mL came in, %d counted", tank + 1, inMl[p], counted);
      }
    }
    double outL =
        (now.dragOutL() - then.dragOutL())
            + (now.evaporatedL() - then.evaporatedL())
            + (now.lostL() - then.lostL());
    double restL = now.volumeAt20L() - then.volumeAt20L() - (inMl[0] + inMl[1]) / 1000 + outL;
    if (Math.abs(restL) > 1) {
      wrong(Wrong.UNBOOKED, "tank %d: the liquid itself is off by %.2f L", tank + 1, restL);
    }
  }

  private void safety(int tank) {
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

  /** What one controller alone, at a PLC that forgot nothing, must never conclude. */
  private void trips(Instance instance) {
    for (Durable durable : instance.durable()) {
      if (durable.event() instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.OrderDisagrees e
          && (e.what() == Disagreement.MEMORY_LOST || instances.size() == 1)
          && e.what().latches()
          && !troubles.struckBy(StrikeKind.PLC_MEMORY_LOST)) {
        wrong(Wrong.FALSE_TRIP, "%s at %.1f s: %s", e.what(), durable.atMs() / 1000.0, e.detail());
      }
    }
  }

  /** The file holds what was reported durable, in that order, and the broker got all of it. */
  private void stored(Instance instance) {
    List<Durable> told = instance.durable();
    try (Record record = org.bathwarden.record.SqliteRecord.open(instance.file())) {
      List<Record.StoredEvent> events = record.eventsSince(0, Integer.MAX_VALUE);
      boolean same = events.size() == told.size();
      for (int i = 0; same && i < told.size(); i++) {
        same = events.get(i).event().equals(told.get(i).event());
      }
      if (!same) {
        wrong(
            Wrong.RECORD_LOST,
            "record %d holds %d events, %d were reported durable",
            instance.number(),
            events.size(),
            told.size());
      }
      broker(instance, events);
    } catch (RecordException e) {
      wrong(Wrong.RECORD_LOST, "record %d: %s", instance.number(), e.getMessage());
    }
  }

  private void broker(Instance instance, List<Record.StoredEvent> events) {
    long settledMs = plant.nowMs() - 20_000;
    long missing = 0;
    for (int i = 0; i < events.size() && i < instance.durable().size(); i++) {
      boolean old = instance.durable().get(i).atMs() < settledMs;
      missing += old && !instance.broker().received().contains(events.get(i).sequence()) ? 1 : 0;
    }
    if (missing > 0 || !instance.broker().inOrder()) {
      wrong(
          Wrong.RECORD_LOST,
          "broker of %d: %d events never came, in order: %b",
          instance.number(),
          missing,
          instance.broker().inOrder());
    }
  }

  private void wrong(Wrong what, String format, Object... values) {
    found.add(new Finding(what, String.format(Locale.ROOT, format, values)));
  }
}
