package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * What dosing remembers of titrations, and of the bath since the last accepted one.
 *
 * @param sampledAt when the sample of the last accepted one was drawn that someone vouches for,
 *     steady clock
 * @param doubtfulHigh whether a doubtful high one waits for its repetition
 * @param deficitL concentrate that the last accepted one found missing from target, L
 * @param loads part loads since its sample
 * @param expectedLossL concentrate that the balance expects to be lost since its sample, L
 * @param evaporatedL water that evaporated and was not made up since, L
 * @param passAt steady time of the last pass
 * @param claims ids of entries that wait for someone to vouch for them: titrations and pours
 * @param calls what calls for a titration besides the time since the last one
 */
public record TitrationLog(
    Optional<Instant> sampledAt,
    boolean doubtfulHigh,
    double deficitL,
    double loads,
    double expectedLossL,
    double evaporatedL,
    Optional<Instant> passAt,
    List<String> claims,
    TitrationCalls calls) {

  /** No titration yet. */
  public static final TitrationLog NONE =
      new TitrationLog(
          Optional.empty(), false, 0, 0, 0, 0, Optional.empty(), List.of(), TitrationCalls.NONE);

  private static final double S_PER_H = 3600;

  /** Copies the list. */
  public TitrationLog {
    claims = List.copyOf(claims);
  }

  /** With one more entry whose author is only a claim. */
  TitrationLog claimed(String entryId) {
    List<String> next = new ArrayList<>(claims);
    next.add(entryId);
    return waitingFor(next);
  }

  /** With {@code entryId} vouched for. */
  TitrationLog confirmed(String entryId) {
    return waitingFor(claims.stream().filter(id -> !id.equals(entryId)).toList());
  }

  private TitrationLog waitingFor(List<String> entryIds) {
    return new TitrationLog(
        sampledAt,
        doubtfulHigh,
        deficitL,
        loads,
        expectedLossL,
        evaporatedL,
        passAt,
        entryIds,
        calls);
  }

  /** What dosing goes by. */
  public TitrationFacts facts() {
    return new TitrationFacts(sampledAt, doubtfulHigh, deficitL, loads, expectedLossL, calls);
  }

  /** With other calls for a titration. */
  TitrationLog calling(TitrationCalls next) {
    return new TitrationLog(
        sampledAt, doubtfulHigh, deficitL, loads, expectedLossL, evaporatedL, passAt, claims, next);
  }

  /**
   * One pass further.
   *
   * @param newLoads loads since the pass before; what is not finite counts as none
   * @param lossPerLoadL concentrate lost with each, L
   * @param evaporationLPerH water that evaporates, L/h
   * @param waterL water that flowed in, L
   * @param waiting ids of the entries that wait for someone to vouch for them
   */
  TitrationLog passed(
      double newLoads,
      double lossPerLoadL,
      double evaporationLPerH,
      double waterL,
      Instant steady,
      List<String> waiting) {
    double more = newLoads > 0 ? newLoads : 0;
    double hours = Duration.between(passAt.orElse(steady), steady).toMillis() / 1000.0 / S_PER_H;
    double evaporated = evaporatedL + finite(evaporationLPerH) * Math.max(hours, 0);
    return new TitrationLog(
        sampledAt,
        doubtfulHigh,
        deficitL,
        loads + more,
        expectedLossL + more * finite(lossPerLoadL),
        Math.max(evaporated - finite(waterL), 0),
        Optional.of(steady),
        waiting,
        more > 0 ? calls.loaded(steady, sampledAt) : calls);
  }

  private static double finite(double value) {
    return value > 0 && Double.isFinite(value) ? value : 0;
  }

  /** With a doubtful high titration open. */
  TitrationLog doubted() {
    return new TitrationLog(
        sampledAt, true, deficitL, loads, expectedLossL, evaporatedL, passAt, claims, calls);
  }

  /**
   * With an accepted titration of a sample drawn at {@code sampleAt}. What was counted since the
   * sample before is shared out by time, since a result may come hours after its sample.
   */
  TitrationLog accepted(Instant sampleAt, double newDeficitL) {
    if (sampledAt.isPresent() && sampleAt.isBefore(sampledAt.get())) {
      return new TitrationLog(
          sampledAt, false, deficitL, loads, expectedLossL, evaporatedL, passAt, claims, calls);
    }
    double share = shareSince(sampleAt);
    return new TitrationLog(
        Optional.of(sampleAt),
        false,
        newDeficitL,
        loads * share,
        expectedLossL * share,
        evaporatedL * share,
        passAt,
        claims,
        calls.sampled(sampleAt));
  }

  /** Without the last accepted one, if its sample was drawn at {@code at}: a new one is due. */
  TitrationLog withoutSample(Instant at) {
    return sampledAt.equals(Optional.of(at))
        ? new TitrationLog(
            Optional.empty(),
            doubtfulHigh,
            0,
            loads,
            expectedLossL,
            evaporatedL,
            passAt,
            claims,
            calls)
        : this;
  }

  private double shareSince(Instant sampleAt) {
    if (passAt.isEmpty() || sampledAt.isEmpty() || !sampleAt.isBefore(passAt.get())) {
      return 0;
    }
    double whole = Duration.between(sampledAt.get(), passAt.get()).toMillis();
    double since = Duration.between(sampleAt, passAt.get()).toMillis();
    return whole > 0 ? Math.min(since / whole, 1) : 0;
  }
}
