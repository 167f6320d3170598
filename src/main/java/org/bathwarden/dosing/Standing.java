package org.bathwarden.dosing;

import org.bathwarden.line.PlcWords;

/**
 * What a tank's PLC says of orders and holder, apart from what moves all the time. Conclusions are
 * drawn only from one that two successive images showed alike.
 *
 * @param state {@code order_state}
 * @param taken {@code order_taken}
 * @param finalNumber {@code order_final}
 * @param deliveredMl {@code order_delivered_ml} once the count is closed, else 0
 * @param reason {@code order_reason}
 * @param refused {@code refused_number}
 * @param refusedReason {@code refused_reason}
 * @param abandonedTo {@code abandoned_to}
 * @param holder {@code holder_epoch}
 */
public record Standing(
    int state,
    long taken,
    long finalNumber,
    long deliveredMl,
    int reason,
    long refused,
    int refusedReason,
    long abandonedTo,
    long holder) {

  static Standing of(PlcWords words) {
    return new Standing(
        words.orderState(),
        words.orderTaken(),
        words.orderFinal(),
        words.orderOpen() ? 0 : words.orderDeliveredMl(),
        words.orderReason(),
        words.refusedNumber(),
        words.refusedReason(),
        words.abandonedTo(),
        words.holderEpoch());
  }

  /** Whether an order is taken up whose count is not closed. */
  boolean open() {
    return finalNumber != taken;
  }
}
