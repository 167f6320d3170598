package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;

/**
 * One small dose that a named person ordered to prove something. While it lasts the tank is in
 * command mode for this one order and for nothing else; every interlock holds but the one that asks
 * for the proofs.
 *
 * @param product what
 * @param volumeMl how much, mL
 * @param watchdog whether the heartbeat ends while it runs
 * @param owner who answers for it
 * @param since when it was asked for
 * @param order number of its order, once there is one
 * @param silentSince steady time of the first pass without a heartbeat
 * @param stoppedAt steady time at which the PLC was first seen not to run it any more
 */
public record TestDose(
    Product product,
    long volumeMl,
    boolean watchdog,
    String owner,
    Now since,
    Optional<Long> order,
    Optional<Instant> silentSince,
    Optional<Instant> stoppedAt) {

  static TestDose of(Product product, long volumeMl, boolean watchdog, String owner, Now since) {
    return new TestDose(
        product,
        volumeMl,
        watchdog,
        owner,
        since,
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  TestDose ordered(long number) {
    return new TestDose(
        product, volumeMl, watchdog, owner, since, Optional.of(number), silentSince, stoppedAt);
  }

  TestDose silent(Instant steady) {
    Optional<Instant> from = silentSince.or(() -> Optional.of(steady));
    return new TestDose(product, volumeMl, watchdog, owner, since, order, from, stoppedAt);
  }

  TestDose stopped(Instant steady) {
    Optional<Instant> at = stoppedAt.or(() -> Optional.of(steady));
    return new TestDose(product, volumeMl, watchdog, owner, since, order, silentSince, at);
  }

  /** The item it proves. */
  public String item() {
    return watchdog ? ProofItem.WATCHDOG : new ProofItem.DoseArrives(product).key();
  }

  /**
   * What became of one.
   *
   * @param good whether it did what it must
   * @param words what was seen
   * @param deliveredMl what the PLC counted, mL
   * @param at when it ended, steady clock
   */
  public record Result(boolean good, String words, long deliveredMl, Instant at) {}
}
