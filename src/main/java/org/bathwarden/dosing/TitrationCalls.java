package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;

/**
 * What calls for a titration besides the time since the last one: the first load after a pause, and
 * a large addition by hand. Steady clock.
 *
 * @param lastLoadAt when parts were last washed
 * @param firstLoad the call of a first load that no titration preceded
 * @param poured the call of a large addition
 */
public record TitrationCalls(
    Optional<Instant> lastLoadAt, Optional<TitrationDue> firstLoad, Optional<TitrationDue> poured) {

  /** Nothing calls, nothing was washed. */
  public static final TitrationCalls NONE =
      new TitrationCalls(Optional.empty(), Optional.empty(), Optional.empty());

  /** So long without a load, a new working day begins with the next; judgement. */
  static final Duration PAUSE = Duration.ofHours(6);

  /** Loads are washed at {@code at}; {@code sampledAt} is the last accepted sample's time. */
  TitrationCalls loaded(Instant at, Optional<Instant> sampledAt) {
    boolean first = paused(at) && !answered(sampledAt);
    return new TitrationCalls(
        Optional.of(at),
        first && firstLoad.isEmpty()
            ? Optional.of(
                new TitrationDue(
                    at, lastLoadAt.orElse(at), "none preceded the first load of the day"))
            : firstLoad,
        poured);
  }

  /** Whether the next load will be a day's first and no titration precedes it yet. */
  boolean wantedBeforeNextLoad(Instant now, Optional<Instant> sampledAt) {
    return paused(now) && !answered(sampledAt);
  }

  private boolean paused(Instant at) {
    return lastLoadAt.isPresent() && !at.isBefore(lastLoadAt.get().plus(PAUSE));
  }

  private boolean answered(Optional<Instant> sampledAt) {
    return sampledAt.isPresent()
        && lastLoadAt.isPresent()
        && sampledAt.get().isAfter(lastLoadAt.get());
  }

  /** So much was poured by hand that a titration must follow, once it is mixed in. */
  TitrationCalls poured(Instant mixedAt) {
    return new TitrationCalls(
        lastLoadAt,
        firstLoad,
        Optional.of(new TitrationDue(mixedAt, mixedAt, "a large addition was poured by hand")));
  }

  /** That pour was entered by mistake. */
  TitrationCalls notPoured(Instant mixedAt) {
    return new TitrationCalls(
        lastLoadAt, firstLoad, poured.filter(call -> !call.sampleFrom().equals(mixedAt)));
  }

  /** A titration of a sample drawn at {@code sampleAt} was accepted. */
  TitrationCalls sampled(Instant sampleAt) {
    return new TitrationCalls(
        lastLoadAt,
        firstLoad.filter(call -> sampleAt.isBefore(call.sampleFrom())),
        poured.filter(call -> sampleAt.isBefore(call.sampleFrom())));
  }
}
