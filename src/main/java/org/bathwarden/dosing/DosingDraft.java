package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.bathwarden.tank.TankSheet;

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
  Procedures procedures;
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
    this.procedures = from.procedures();
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
        proofs,
        procedures);
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

  /** Whether a portion of a charge showed in this pass that the drum holds another product. */
  boolean otherProduct;

  /**
   * What a transition of the bath depends on.
   *
   * @param byStep whether a step of a procedure asks
   */
  BathTransitions.Facts transition(
      DosingSettings settings, TankSheet sheet, TankSight sight, boolean byStep) {
    boolean told = bath.titrateBeforeDose().isPresent() || procedures.at(ProcedureStep.COLD_MARK);
    return new BathTransitions.Facts(
        byStep,
        procedures.open().isPresent(),
        told,
        sight.levelL(),
        settings.procedures().emptyL(sheet),
        sheet.geometry().minimumL(),
        sight.drainClosed());
  }

  /** Takes the bath to another state; what is against it, if anything is. */
  Optional<String> pass(BathState to, Role role, BathTransitions.Facts facts) {
    if (bath.state() == to) {
      return Optional.empty();
    }
    Optional<String> refusal = BathTransitions.refusal(bath.state(), to, role, facts);
    if (refusal.isEmpty()) {
      bath = BathStates.to(bath, to, facts.chargeTold(), now.steady());
    }
    return refusal;
  }

  /** Where a charge stands after its portions. */
  ProcedureStep afterPortion(DosingSettings settings, TankSheet sheet, Charging charging) {
    ChargePlan plan = ChargePlan.of(sheet, settings.procedures());
    return plan.nextL(charging.concentrateL()) > 0
        ? ProcedureStep.PORTION
        : ProcedureStep.COLD_MARK;
  }

  /** The stamp of what a step says of the liquid. */
  Stamp owed(Stamp telling) {
    return new Stamp(
        telling.id() + "-bath", tank, telling.author(), telling.channel(), now.wall(), now.wall());
  }

  /** The stamp of what the controller tells itself. */
  Stamp own(String id) {
    return new Stamp(
        id + "-" + tank, tank, "controller", Stamp.Channel.CONSOLE, now.wall(), now.wall());
  }

  void moved(Procedure procedure, String what, String words, String author) {
    events.add(
        new DosingEvent.ProcedureMoved(
            tank, now, procedure.kind(), procedure.step(), what, words, author));
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
