package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/**
 * All that dosing of one tank remembers between passes; plain data.
 *
 * @param mode mode in force
 * @param leaving whether command mode was left, but an order is still to be ended
 * @param bath state of the bath
 * @param chargedAt when the bath was charged, wall clock, if known
 * @param book the order book
 * @param proposals proposals
 * @param ledger what flowed
 * @param interlocks memory of the interlocks
 * @param titration titrations
 * @param drum the concentrate drum in use
 * @param shortInARow for each product, how many orders in a row were short
 * @param wantingSince steady time since which a portion is wanted and not yet ordered
 * @param proofs what was proved at the line
 * @param procedures the procedure under way
 */
public record DosingState(
    Mode mode,
    boolean leaving,
    Bath bath,
    Optional<Instant> chargedAt,
    OrderBook book,
    Proposals proposals,
    Ledger ledger,
    InterlockState interlocks,
    TitrationLog titration,
    Drum drum,
    Map<Product, Integer> shortInARow,
    Optional<Instant> wantingSince,
    Proofs proofs,
    Procedures procedures) {

  /** Copies the map; states that were kept before there were procedures have none. */
  public DosingState {
    shortInARow = Map.copyOf(shortInARow);
    procedures = Objects.requireNonNullElse(procedures, Procedures.NONE);
  }

  /** The state of a tank that is new to the controller, in bath state {@code bath}. */
  public static DosingState first(
      DosingSettings settings, TankSheet sheet, BathState bath, Instant steady) {
    return new DosingState(
        settings.highestMode(sheet),
        false,
        Bath.in(bath, steady),
        Optional.empty(),
        OrderBook.blank(sheet.id(), settings.pair().instance()),
        Proposals.NONE,
        Ledger.EMPTY,
        InterlockState.REST,
        TitrationLog.NONE,
        Drum.FOUND,
        Map.of(),
        Optional.empty(),
        Proofs.NONE,
        Procedures.NONE);
  }

  /**
   * The state as a new process takes it up from the record: what the old one saw and wrote on the
   * line is not known any more. A test dose does not outlive its process.
   */
  public DosingState restarted() {
    return new DosingState(
        proofs.testDose().isPresent() && mode == Mode.COMMAND ? Mode.PROPOSE : mode,
        false,
        bath,
        chargedAt,
        book.restarted(),
        proposals,
        ledger,
        interlocks,
        titration,
        drum,
        shortInARow,
        Optional.empty(),
        proofs.with(Optional.empty()),
        procedures);
  }

  /**
   * The state as a process takes it up from a record that was damaged: what flowed and was ordered
   * last may be missing. Nothing is dosed until an engineer has resynchronised and, with a fresh
   * titration accepted, has reset the trip.
   *
   * @param damage the event that says so
   */
  public DosingState doubted(DosingEvent.OrderDisagrees damage) {
    return new DosingState(
        mode,
        false,
        bath,
        chargedAt,
        book.restarted().after(damage),
        proposals,
        ledger,
        interlocks,
        titration,
        drum,
        shortInARow,
        Optional.empty(),
        proofs.with(Optional.empty()),
        procedures);
  }

  /** Whether nothing is left that the line must be written for before the process may stop. */
  public boolean mayStop() {
    return book.canLeave() && !book.watch().claimed();
  }
}
