package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;

/** A {@link DosingState} in the making, with the events so far. Lives within one call. */
final class DosingDraft {

  final TankId tank;
  final Now now;
  final List<DosingEvent> events = new ArrayList<>();
  Mode mode;
  boolean leaving;
  Bath bath;
  Optional<Instant> chargedAt;
  OrderBook book;
  Proposals proposals;
  Ledger ledger;
  InterlockState interlocks;
  TitrationLog titration;
  Drum drum;
  Optional<Instant> wantingSince;
  Proofs proofs;
  private final Map<Product, Integer> shortInARow = new EnumMap<>(Product.class);

  DosingDraft(DosingState from, TankId tank, Now now) {
    this.tank = tank;
    this.now = now;
    this.mode = from.mode();
    this.leaving = from.leaving();
    this.bath = from.bath();
    this.chargedAt = from.chargedAt();
    this.book = from.book();
    this.proposals = from.proposals();
    this.ledger = from.ledger();
    this.interlocks = from.interlocks();
    this.titration = from.titration();
    this.drum = from.drum();
    this.wantingSince = from.wantingSince();
    this.proofs = from.proofs();
    this.shortInARow.putAll(from.shortInARow());
  }

  DosingState state() {
    return new DosingState(
        mode,
        leaving,
        bath,
        chargedAt,
        book,
        proposals,
        ledger,
        interlocks,
        titration,
        drum,
        shortInARow,
        wantingSince,
        proofs);
  }

  /** The moment on the steady clock that a stamp's wall time means now. */
  Instant steady(Instant wall) {
    return now.steady().minus(Duration.between(wall, now.wall()));
  }

  /** The wall time, to the second, of a moment on the steady clock. */
  Instant wall(Instant steady) {
    return now.wall().plus(Duration.between(now.steady(), steady)).truncatedTo(ChronoUnit.SECONDS);
  }

  void change(Mode to, String author, String reason) {
    if (to != mode) {
      events.add(new DosingEvent.ModeChanged(tank, now, mode, to, author, reason));
      leaving = to != Mode.COMMAND && (leaving || mode == Mode.COMMAND);
      mode = to;
    }
  }

  void refuse(String entryId, String author, String reason) {
    events.add(new DosingEvent.EntryRefused(tank, now, entryId, author, reason));
  }

  void take(BookStep step) {
    book = step.after();
    events.addAll(step.events());
  }

  void take(Proposals.Step step) {
    proposals = step.after();
    events.addAll(step.events());
  }

  void book(Product product, double litres, Instant at, Flow.Origin origin) {
    ledger = ledger.book(new Flow(product, litres, at, origin));
    if (product == Product.CONCENTRATE && origin != Flow.Origin.OTHER_INSTANCE) {
      drum = drum.used(litres);
    }
  }

  /** Takes back a hand pour that never was. */
  void unbook(Product product, double litres, Instant at) {
    ledger = ledger.unbook(new Flow(product, litres, at, Flow.Origin.HAND));
    if (product == Product.CONCENTRATE) {
      drum = drum.returned(litres);
    }
  }

  /** Counts one more short order; returns how many in a row that makes. */
  int countShort(Product product) {
    return shortInARow.merge(product, 1, Integer::sum);
  }

  void forgetShort(Product product) {
    shortInARow.remove(product);
  }
}
