package org.bathwarden.dosing;

import java.util.List;
import java.util.Optional;
import org.bathwarden.line.LineWrite;

/**
 * What one pass of dosing gave.
 *
 * @param after the state after it
 * @param events what happened, in order; those that are {@code beforeWrite} must be durable before
 *     any {@link LineWrite.Submit} or {@link LineWrite.ClaimEpoch} of {@code writes} is sent, else
 *     these are dropped and reported as not sent
 * @param writes what to write to the line, in order
 * @param decision what is to be done about the bath, and why
 * @param verdict what the interlocks say
 * @param supplies the supplies that are wanted, or held until the order is final; empty if none
 */
public record DosingStep(
    DosingState after,
    List<DosingEvent> events,
    List<LineWrite> writes,
    Decision decision,
    Verdict verdict,
    Optional<SupplyRequest> supplies) {

  /** Copies the lists. */
  public DosingStep {
    events = List.copyOf(events);
    writes = List.copyOf(writes);
  }
}
