package org.bathwarden.line.pulse;

import java.time.Instant;
import java.util.Optional;
import java.util.function.Consumer;
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
    return with(
        next -> {
          next.taken = number;
          next.state = 1;
          next.deliveredMl = 0;
          next.reason = 0;
          next.product = Optional.of(what);
          next.volumeMl = ml;
          next.limitS = seconds;
          next.takenAt = at;
          next.countedTo = at;
          next.assertedAt = at;
        });
  }

  PulseState refusing(long number, int why) {
    return with(
        next -> {
          next.refused = number;
          next.refusedReason = why;
        });
  }

  PulseState abandoning(long to) {
    return with(next -> next.abandonedTo = to);
  }

  PulseState obeying(long epoch) {
    return with(next -> next.holder = epoch);
  }

  PulseState ended(int how, int why) {
    return with(
        next -> {
          next.state = how;
          next.reason = why;
        });
  }

  PulseState close() {
    return with(next -> next.closed = taken);
  }

  PulseState asserted(Instant at) {
    return with(next -> next.assertedAt = at);
  }

  /** What flowed is counted up to {@code to}; the open order's product for the order too. */
  PulseState counted(double pumpMl, double valveMl, Instant to) {
    double ordered =
        !open() || product.isEmpty() ? 0 : product.get() == Product.CONCENTRATE ? pumpMl : valveMl;
    return with(
        next -> {
          next.deliveredMl += ordered;
          next.countedTo = to;
          next.concentrateMl += pumpMl;
          next.waterMl += valveMl;
        });
  }

  private PulseState with(Consumer<Next> change) {
    Next next = new Next(this);
    change.accept(next);
    return next.state();
  }

  /** The state to come, while it is made. */
  private static final class Next {
    private long taken;
    private long closed;
    private int state;
    private double deliveredMl;
    private int reason;
    private long refused;
    private int refusedReason;
    private long abandonedTo;
    private long holder;
    private Optional<Product> product;
    private long volumeMl;
    private long limitS;
    private Instant takenAt;
    private Instant countedTo;
    private Instant assertedAt;
    private double concentrateMl;
    private double waterMl;

    private Next(PulseState from) {
      taken = from.taken;
      closed = from.closed;
      state = from.state;
      deliveredMl = from.deliveredMl;
      reason = from.reason;
      refused = from.refused;
      refusedReason = from.refusedReason;
      abandonedTo = from.abandonedTo;
      holder = from.holder;
      product = from.product;
      volumeMl = from.volumeMl;
      limitS = from.limitS;
      takenAt = from.takenAt;
      countedTo = from.countedTo;
      assertedAt = from.assertedAt;
      concentrateMl = from.concentrateMl;
      waterMl = from.waterMl;
    }

    private PulseState state() {
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
          assertedAt,
          concentrateMl,
          waterMl);
    }
  }
}
