package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;

/**
 * What the titrations say about dosing.
 *
 * @param sampledAt when the sample of the last accepted one was drawn that someone vouches for,
 *     steady clock
 * @param doubtfulHigh whether a doubtful high one waits for its repetition
 * @param deficitL concentrate that the last accepted one found missing from target, L
 * @param loads part loads since its sample
 * @param expectedLossL concentrate that the balance expects to be lost since its sample, L
 */
public record TitrationFacts(
    Optional<Instant> sampledAt,
    boolean doubtfulHigh,
    double deficitL,
    double loads,
    double expectedLossL) {

  /** No titration was ever accepted. */
  public static final TitrationFacts NONE = new TitrationFacts(Optional.empty(), false, 0, 0, 0);
}
