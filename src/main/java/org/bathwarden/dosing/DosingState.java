package org.bathwarden.dosing;

import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/**
 * All that dosing of one tank remembers between passes; plain data.
 *
 * @param mode mode in force
 * @param leaving whether command mode was left while an order was still open
 * @param bath state of the bath
 * @param book the order book
 * @param proposals proposals
 * @param ledger what flowed
 * @param interlocks memory of the interlocks
 * @param titration titrations
 * @param drum the concentrate drum in use
 * @param shortInARow for each product, how many orders in a row were short
 */
public record DosingState(
    Mode mode,
    boolean leaving,
    Bath bath,
    OrderBook book,
    Proposals proposals,
    Ledger ledger,
    InterlockState interlocks,
    TitrationLog titration,
    Drum drum,
    Map<Product, Integer> shortInARow) {

  /** Copies the map. */
  public DosingState {
    shortInARow = Map.copyOf(shortInARow);
  }

  /** The state of a tank that is new to the controller, in bath state {@code bath}. */
  public static DosingState first(
      DosingSettings settings, TankSheet sheet, BathState bath, Instant steady) {
    return new DosingState(
        settings.mode(),
        false,
        Bath.in(bath, steady),
        OrderBook.blank(sheet.id(), settings.instance()),
        Proposals.NONE,
        Ledger.EMPTY,
        InterlockState.REST,
        TitrationLog.NONE,
        Drum.FOUND,
        new EnumMap<>(Product.class));
  }
}
