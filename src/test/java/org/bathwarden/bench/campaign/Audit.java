package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.bathwarden.bench.campaign.FlakyRecord.Durable;
import org.bathwarden.bench.campaign.Troubles.Struck;
import org.bathwarden.bench.campaign.Verdict.Finding;
import org.bathwarden.bench.campaign.Verdict.Wrong;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.Disagreement;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/**
 * Compares, after a sequence, what really flowed with what the controllers booked and with what is
 * in the tank. Adds up for itself: nothing of the ledger's or the order book's own sums is used.
 */
final class Audit {

  /** An image may be so old, ms. */
  private static final long ROUNDS_MS = 3_000;

  private final Plant plant;
  private final Troubles troubles;
  private final List<Struck> struck;
  private final List<PlcBook> books;
  private final List<BathLog> baths;
  private final List<Instance> instances;
  private final List<Crew> crews;
  private final List<Finding> found = new ArrayList<>();
  private final Flows flows;

  Audit(
      Plant plant,
      List<Troubles> troubles,
      List<PlcBook> books,
      List<BathLog> baths,
      List<Instance> instances,
      List<Crew> crews,
      List<Truth> before) {
    this.plant = plant;
    this.troubles = troubles.get(0);
    this.struck = troubles.stream().flatMap(t -> t.struck().stream()).toList();
    this.books = books;
    this.baths = baths;
    this.instances = instances;
    this.crews = crews;
    this.flows = new Flows(plant, books, before, memoryLost(), found);
  }

  private boolean memoryLost() {
    return troubles.struckBy(StrikeKind.PLC_MEMORY_LOST);
  }

  /** Judges the run as it stands; the instances are closed afterwards. */
  Verdict verdict() {
    books.forEach(PlcBook::close);
    List<String> ends = new ArrayList<>();
    for (int tank = 0; tank < books.size(); tank++) {
      flows.balance(tank);
      flows.safety(tank);
      for (Instance instance : instances) {
        ends.add(new End(instance, tank, instances).words(found));
        trips(instance);
      }
    }
    instances.stream().filter(Instance::up).forEach(this::ledger);
    instances.forEach(Instance::close);
    instances.forEach(this::stored);
    for (int tank = 0; tank < books.size(); tank++) {
      Map<Long, Flows.Booked> booked = new HashMap<>();
      for (Instance instance : instances) {
        flows.read(instance.tanks().get(tank).id(), instance.durable(), booked);
      }
      int which = tank;
      flows.compare(tank, booked, number -> openInSomeBook(which, number));
    }
    instances.forEach(instance -> flows.sharedPump(instance.durable()));
    instances.forEach(this::baths);
    new AlarmCheck(troubles, books, instances.get(0), plant.constantPermits(), found).run();
    return result(ends);
  }

  private void baths(Instance instance) {
    BathAudit audit = new BathAudit(instance, struck, found);
    for (int tank = 0; tank < baths.size(); tank++) {
      audit.run(tank, baths.get(tank));
    }
    audit.starts();
    audit.wrongProductAlarm();
    crews.forEach(crew -> crew.wrongPoursMs().forEach(ms -> audit.wrongPour(crew.tank(), ms)));
  }

  private int moves() {
    return (int)
        instances.stream()
            .flatMap(i -> i.durable().stream())
            .filter(
                d ->
                    d.event() instanceof Fact.Dosed dosed
                        && dosed.event() instanceof DosingEvent.ProcedureMoved)
            .count();
  }

  private Verdict result(List<String> ends) {
    Map<StrikeKind, Integer> kinds = new EnumMap<>(StrikeKind.class);
    struck.forEach(s -> kinds.merge(s.strike().kind(), 1, Integer::sum));
    return new Verdict(
        List.copyOf(found),
        kinds,
        books.stream().mapToInt(b -> b.orders().size()).sum(),
        instances.stream().mapToInt(Instance::crashes).sum(),
        moves(),
        books.stream().mapToLong(PlcBook::longestDeafMs).max().orElse(0),
        toSafeMs(),
        books.stream().mapToInt(PlcBook::longestMissingMs).max().orElse(0),
        flows.unbookedMl(),
        ends);
  }

  private Map<StrikeKind, Long> toSafeMs() {
    Map<StrikeKind, Long> longest = new EnumMap<>(StrikeKind.class);
    for (PlcBook book : books) {
      book.toSafeMs(struck).forEach((kind, ms) -> longest.merge(kind, ms, Math::max));
    }
    return longest;
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
    if (instance.number() != Troubles.STRUCK || memoryLost()) {
      return;
    }
    for (int tank = 0; tank < books.size(); tank++) {
      DosingState dosing = instance.state(tank).dosing();
      int which = tank;
      flows.ledger(
          tank,
          dosing.ledger().flows(),
          dosing.book(),
          product -> chargedMl(instance, which, product));
    }
  }

  /** What the meter counted while the bath was charging, by the record, and just before. */
  private long chargedMl(Instance instance, int tank, Product product) {
    TankId id = instance.tanks().get(tank).id();
    int p = product == Product.CONCENTRATE ? 0 : 1;
    long ml = 0;
    long sinceMs = -1;
    for (Durable durable : instance.durable()) {
      if (durable.event() instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.BathChanged e
          && e.tank().equals(id)) {
        ml += sinceMs < 0 ? 0 : books.get(tank).betweenMl(p, sinceMs, instance.happenedMs(durable));
        sinceMs = e.to() == BathState.CHARGING ? instance.happenedMs(durable) - ROUNDS_MS : -1;
      }
    }
    return ml + (sinceMs < 0 ? 0 : books.get(tank).betweenMl(p, sinceMs, plant.nowMs()));
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
    List<String> alarms = instance.broker().alarms();
    boolean once = Set.copyOf(alarms).size() == alarms.size();
    if (missing > 0 || !instance.broker().inOrder() || !once || !instance.broker().bounded()) {
      wrong(
          Wrong.RECORD_LOST,
          "broker of %d: %d events never came, in order: %b, each alarm once: %b, few at a time: %b",
          instance.number(),
          missing,
          instance.broker().inOrder(),
          once,
          instance.broker().bounded());
    }
  }

  private void wrong(Wrong what, String format, Object... values) {
    found.add(new Finding(what, String.format(Locale.ROOT, format, values)));
  }
}
