package org.bathwarden.dosing;

import java.time.Instant;
import java.util.Optional;

/**
 * What dosing remembers of titrations.
 *
 * @param sampledAt when the sample of the last accepted one was drawn, steady clock
 * @param doubtfulHigh whether a doubtful high one waits for its repetition
 * @param deficitL concentrate that the last accepted one found missing from target, L
 * @param loads part loads since its sample
 * @param expectedLossL concentrate that the balance expects to be lost since its sample, L
 * @param evaporatedL water that evaporated since and was not made up, L
 */
public record TitrationLog(
    Optional<Instant> sampledAt,
    boolean doubtfulHigh,
    double deficitL,
    double loads,
    double expectedLossL,
    double evaporatedL) {

  /** No titration yet. */
  public static final TitrationLog NONE = new TitrationLog(Optional.empty(), false, 0, 0, 0, 0);

  TitrationFacts facts() {
    return new TitrationFacts(sampledAt, doubtfulHigh, deficitL, loads, expectedLossL);
  }
}
