package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.Product;

/**
 * What flowed into a tank: immutable, kept over restarts, never reset by a mode change.
 *
 * @param flows flows of the last 48 h, oldest first
 * @param sampledAt when the sample of the last accepted titration was drawn, steady clock
 * @param carriedConcentrateL concentrate since then that is older than {@code flows}, L
 * @param carriedWaterL the same for water
 */
public record Ledger(
    List<Flow> flows,
    Optional<Instant> sampledAt,
    double carriedConcentrateL,
    double carriedWaterL) {

  /** Nothing flowed yet. */
  public static final Ledger EMPTY = new Ledger(List.of(), Optional.empty(), 0, 0);

  /** Copies the list. */
  public Ledger {
    flows = List.copyOf(flows);
  }

  /** This ledger with one more flow; a flow that is no positive finite volume changes nothing. */
  public Ledger book(Flow flow) {
    return this;
  }

  /** This ledger once a titration of a sample drawn at {@code sampleAt} was accepted. */
  public Ledger titrationAccepted(Instant sampleAt) {
    return this;
  }

  /** This ledger without what is older than 48 h at {@code now}, whose sums are carried. */
  public Ledger prune(Instant now) {
    return this;
  }

  /** What flowed of {@code product} in the {@code window} that ends at {@code now}, L. */
  public double withinL(Product product, Duration window, Instant now) {
    return 0;
  }

  /** What flowed of {@code product} since the last accepted titration's sample, L. */
  public double sinceTitrationL(Product product) {
    return 0;
  }

  /** When anything last flowed. */
  public Optional<Instant> lastFlowAt() {
    return Optional.empty();
  }

  /** When {@code product} last flowed. */
  public Optional<Instant> lastFlowAt(Product product) {
    return Optional.empty();
  }
}
