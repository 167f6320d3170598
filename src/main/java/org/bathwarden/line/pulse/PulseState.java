package org.bathwarden.line.pulse;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.Product;

/**
 * What outlives the process: what the line contract calls retentive. Immutable.
 *
 * @param taken number of the last order taken up
 * @param closed equals {@code taken} once its count is closed
 * @param state of that order, as in the contract
 * @param deliveredMl what flowed for it, by run time and calibrated rate, mL
 * @param reason code why it stopped early
 * @param refused last number refused
 * @param refusedReason code why
 * @param abandonedTo highest abandon number obeyed
 * @param holder epoch that is obeyed
 * @param product of that order
 * @param volumeMl ordered, mL
 * @param limitS its time limit, s
 * @param takenAt when it was taken up, on the steady clock
 * @param countedTo up to when flow was counted
 * @param assertedAt when its coil was last about to be written on
 * @param concentrateMl all concentrate counted, mL
 * @param waterMl all make-up water counted, mL
 */
public record PulseState(
    long taken,
    long closed,
    int state,
    double deliveredMl,
    int reason,
    long refused,
    int refusedReason,
    long abandonedTo,
    long holder,
    Optional<Product> product,
    long volumeMl,
    long limitS,
    Instant takenAt,
    Instant countedTo,
    Instant assertedAt,
    double concentrateMl,
    double waterMl) {

  /** Nothing was ever ordered. */
  public static final PulseState BLANK =
      new PulseState(
          0,
          0,
          0,
          0,
          0,
          0,
          0,
          0,
          0,
          Optional.empty(),
          0,
          0,
          Instant.EPOCH,
          Instant.EPOCH,
          Instant.EPOCH,
          0,
          0);

  boolean open() {
    return taken != closed;
  }

  PulseState takenUp(long number, Product what, long ml, long seconds, Instant at) {
    return new PulseState(
        number,
        closed,
        1,
        0,
        0,
        refused,
        refusedReason,
        abandonedTo,
        holder,
        Optional.of(what),
        ml,
        seconds,
        at,
        at,
        at,
        concentrateMl,
        waterMl);
  }

  PulseState refusing(long number, int why) {
    return new PulseState(
        taken,
        closed,
        state,
        deliveredMl,
        reason,
        number,
        why,
        abandonedTo,
        holder,
        product,
        volumeMl,
        limitS,
        takenAt,
        countedTo,
        assertedAt,
        concentrateMl,
        waterMl);
  }

  PulseState abandoning(long to) {
    return new PulseState(
        taken,
        closed,
        state,
        deliveredMl,
        reason,
        refused,
        refusedReason,
        to,
        holder,
        product,
        volumeMl,
        limitS,
        takenAt,
        countedTo,
        assertedAt,
        concentrateMl,
        waterMl);
  }

  PulseState obeying(long epoch) {
    return new PulseState(
        taken,
        closed,
        state,
        deliveredMl,
        reason,
        refused,
        refusedReason,
        abandonedTo,
        epoch,
        product,
        volumeMl,
        limitS,
        takenAt,
        countedTo,
        assertedAt,
        concentrateMl,
        waterMl);
  }

  PulseState ended(int how, int why) {
    return new PulseState(
        taken,
        closed,
        how,
        deliveredMl,
        why,
        refused,
        refusedReason,
        abandonedTo,
        holder,
        product,
        volumeMl,
        limitS,
        takenAt,
        countedTo,
        assertedAt,
        concentrateMl,
        waterMl);
  }

  PulseState close() {
    return new PulseState(
        taken,
        taken,
        state,
        deliveredMl,
        reason,
        refused,
        refusedReason,
        abandonedTo,
        holder,
        product,
        volumeMl,
        limitS,
        takenAt,
        countedTo,
        assertedAt,
        concentrateMl,
        waterMl);
  }

  PulseState asserted(Instant at) {
    return new PulseState(
        taken,
        closed,
        state,
        deliveredMl,
        reason,
        refused,
        refusedReason,
        abandonedTo,
        holder,
        product,
        volumeMl,
        limitS,
        takenAt,
        countedTo,
        at,
        concentrateMl,
        waterMl);
  }

  /** What flowed is counted up to {@code to}; the open order's product for the order too. */
  PulseState counted(double pumpMl, double valveMl, Instant to) {
    double ordered =
        !open() || product.isEmpty() ? 0 : product.get() == Product.CONCENTRATE ? pumpMl : valveMl;
    return new PulseState(
        taken,
        closed,
        state,
        deliveredMl + ordered,
        reason,
        refused,
        refusedReason,
        abandonedTo,
        holder,
        product,
        volumeMl,
        limitS,
        takenAt,
        to,
        assertedAt,
        concentrateMl + pumpMl,
        waterMl + valveMl);
  }
}
