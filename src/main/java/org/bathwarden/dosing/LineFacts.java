package org.bathwarden.dosing;

import java.util.Optional;
import java.util.Set;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.tank.Product;

/**
 * What the line and the order book say.
 *
 * @param words the PLC's words, if all were read Good
 * @param fresh whether link and PLC heartbeat are alive
 * @param constantPermits permits mapped to a constant and not signed off by the engineer
 * @param openOrder product of the order that is open, if one is
 * @param handPour product of the accepted hand pour that is unsettled, if one is
 * @param scansSinceStart good scans since start or reconnect
 * @param booksSettled whether no order of before the start is unsettled
 * @param found causes that only the order book, the supplies or the estimator can see, for example
 *     {@link Cause#DEPOSED}, {@link Cause#RECORD_DAMAGED}
 */
public record LineFacts(
    Optional<PlcWords> words,
    boolean fresh,
    Set<Permit> constantPermits,
    Optional<Product> openOrder,
    Optional<Product> handPour,
    long scansSinceStart,
    boolean booksSettled,
    Set<Cause> found) {

  /** Copies the sets. */
  public LineFacts {
    constantPermits = Set.copyOf(constantPermits);
    found = Set.copyOf(found);
  }
}
