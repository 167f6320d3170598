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
 * @param calls what else calls for a titration
 */
public record TitrationFacts(
    Optional<Instant> sampledAt,
    boolean doubtfulHigh,
    double deficitL,
    double loads,
    double expectedLossL,
    TitrationCalls calls) {

  /** No titration was ever accepted. */
  public static final TitrationFacts NONE =
      new TitrationFacts(Optional.empty(), false, 0, 0, 0, TitrationCalls.NONE);

  /** The earliest titration that the site's rules ask for; empty if none was ever accepted. */
  public Optional<TitrationDue> due(DosingLimits limits) {
    return sampledAt.map(
        at -> {
          TitrationDue due =
              new TitrationDue(
                  at.plus(limits.titrationInterval()),
                  at.plusMillis(1),
                  "the longest interval between titrations ends");
          Optional<TitrationDue> first = calls.firstLoad().filter(c -> limits.beforeFirstLoad());
          return earlier(earlier(due, first), calls.poured());
        });
  }

  /** Whether a titration is wanted before the next load, which will be a day's first. */
  public boolean wantedBeforeNextLoad(DosingLimits limits, Instant now) {
    return limits.beforeFirstLoad() && calls.wantedBeforeNextLoad(now, sampledAt);
  }

  private static TitrationDue earlier(TitrationDue due, Optional<TitrationDue> other) {
    return other.filter(o -> o.at().isBefore(due.at())).orElse(due);
  }
}
