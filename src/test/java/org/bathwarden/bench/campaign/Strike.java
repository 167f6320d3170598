package org.bathwarden.bench.campaign;

/**
 * One thing that befalls.
 *
 * @param kind what
 * @param tank which tank, index from 0; of no meaning for what concerns the whole line
 * @param atMs when, from the start, ms
 * @param afterOrderMs if not negative: only at the next order after that time, so long after it was
 *     handed to the record, ms
 * @param lastsMs how long, ms
 * @param size in the unit of the kind
 * @param controller which controller of a pair it strikes, 1 or 2; of no meaning for what concerns
 *     the plant
 */
record Strike(
    StrikeKind kind,
    int tank,
    long atMs,
    long afterOrderMs,
    long lastsMs,
    int size,
    int controller) {

  /** One that strikes the first controller, or the plant. */
  Strike(StrikeKind kind, int tank, long atMs, long afterOrderMs, long lastsMs, int size) {
    this(kind, tank, atMs, afterOrderMs, lastsMs, size, Troubles.STRUCK);
  }

  /** The same lasting otherwise. */
  Strike lasting(long ms) {
    return new Strike(kind, tank, atMs, afterOrderMs, ms, size, controller);
  }

  /** The same at another controller. */
  Strike at(int other) {
    return new Strike(kind, tank, atMs, afterOrderMs, lastsMs, size, other);
  }

  boolean waitsForOrder() {
    return afterOrderMs >= 0;
  }
}
