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
 */
record Strike(StrikeKind kind, int tank, long atMs, long afterOrderMs, long lastsMs, int size) {

  boolean waitsForOrder() {
    return afterOrderMs >= 0;
  }
}
