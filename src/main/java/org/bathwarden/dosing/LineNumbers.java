package org.bathwarden.dosing;

import org.bathwarden.line.PlcWords;

/**
 * The PLC's numbers, which only grow: who commands, and what was taken up and abandoned. Apart from
 * {@link Standing}, because who commands is known although a running order still changes.
 *
 * @param taken {@code order_taken}
 * @param abandonedTo {@code abandoned_to}
 * @param holder {@code holder_epoch}
 */
public record LineNumbers(long taken, long abandonedTo, long holder) {

  static LineNumbers of(PlcWords words) {
    return new LineNumbers(words.orderTaken(), words.abandonedTo(), words.holderEpoch());
  }
}
