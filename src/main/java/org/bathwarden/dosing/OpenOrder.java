package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.Now;

/**
 * The one order of a tank that is not settled.
 *
 * @param order what was ordered
 * @param phase how far it is known to have come
 * @param preparedAt when it was made durable
 * @param writtenAt steady time at or after which its block was first written, as far as known
 * @param stoppedBy why {@code abandon_to} is to be raised to it, in words; empty while it is not
 * @param totalMlAtStart the product's totalizer when it was prepared, mL; NaN if unknown or reset
 *     since
 * @param levelLAtStart settled level when it was prepared, L; NaN if unknown
 * @param panelMl what panel runs put through the same totalizer since, mL
 */
public record OpenOrder(
    Order order,
    Phase phase,
    Now preparedAt,
    Instant writtenAt,
    Optional<String> stoppedBy,
    double totalMlAtStart,
    double levelLAtStart,
    double panelMl) {

  /** How far an order is known to have come. From {@link #WRITTEN} on it may have flowed. */
  public enum Phase {
    /** Durable; its write was handed over, what became of it is unknown. */
    PREPARED,
    /** The block may be at the PLC; whether it was committed is unknown. */
    WRITTEN,
    /** Block and commit were confirmed. */
    COMMITTED,
    /** The PLC took it up. */
    RUNNING,
    /** It ended, its count is not closed yet. */
    CLOSING
  }

  OpenOrder in(Phase next) {
    return new OpenOrder(
        order, next, preparedAt, writtenAt, stoppedBy, totalMlAtStart, levelLAtStart, panelMl);
  }

  OpenOrder writtenAt(Instant at) {
    return new OpenOrder(
        order, phase, preparedAt, at, stoppedBy, totalMlAtStart, levelLAtStart, panelMl);
  }

  /** To be ended; the first reason stands. */
  OpenOrder abandoned(String why) {
    return new OpenOrder(
        order,
        phase,
        preparedAt,
        writtenAt,
        stoppedBy.or(() -> Optional.of(why)),
        totalMlAtStart,
        levelLAtStart,
        panelMl);
  }

  /** The totalizer was reset: what it counted for the order is not known any more. */
  OpenOrder withoutTotal() {
    return new OpenOrder(
        order, phase, preparedAt, writtenAt, stoppedBy, Double.NaN, levelLAtStart, panelMl);
  }

  boolean abandoning() {
    return stoppedBy.isPresent();
  }

  OpenOrder withPanelMl(double ml) {
    return new OpenOrder(
        order, phase, preparedAt, writtenAt, stoppedBy, totalMlAtStart, levelLAtStart, ml);
  }
}
