package org.bathwarden.service;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.estimate.Verdict;
import org.bathwarden.face.TankStatePayload;
import org.bathwarden.tank.Entry;

/**
 * What is shown of titrations: the last that counts, a doubtful one, what waits to be confirmed.
 * Pure.
 */
final class TitrationShowing {

  private TitrationShowing() {}

  static Optional<TankStatePayload.LastTitration> last(PassResult result, Duration wallAhead) {
    var verdicts = result.after().estimate().verdicts();
    for (int i = verdicts.size() - 1; i >= 0; i--) {
      var verdict = verdicts.get(i);
      if (verdict.verdict().accepted() && verdict.vouched()) {
        return Optional.of(
            new TankStatePayload.LastTitration(
                verdict.resultPct(), verdict.uPct(), verdict.sampleAt().plus(wallAhead)));
      }
    }
    return Optional.empty();
  }

  static Optional<TankStatePayload.JudgedTitration> doubtful(
      List<TitrationVerdict> verdicts, Duration wallAhead) {
    for (int i = verdicts.size() - 1; i >= 0; i--) {
      Verdict verdict = verdicts.get(i).verdict();
      if (verdict.accepted() && verdicts.get(i).vouched()) {
        return Optional.empty();
      } else if (verdict.doubtful()) {
        return Optional.of(judged(verdicts.get(i), wallAhead));
      }
    }
    return Optional.empty();
  }

  static TankStatePayload.JudgedTitration judged(TitrationVerdict verdict, Duration wallAhead) {
    return new TankStatePayload.JudgedTitration(
        verdict.entryId(),
        verdict.resultPct(),
        verdict.predictedPct(),
        Showing.word(verdict.verdict()),
        verdict.vouched(),
        verdict.sampleAt().plus(wallAhead));
  }

  static List<TankStatePayload.EntryToConfirm> toConfirm(PassResult result, Duration wallAhead) {
    return result.after().estimate().waiting().stream()
        .flatMap(claim -> toConfirm(claim, wallAhead).stream())
        .toList();
  }

  private static Optional<TankStatePayload.EntryToConfirm> toConfirm(
      Entry claim, Duration wallAhead) {
    if (claim instanceof Entry.Titration t) {
      return Optional.of(
          toConfirm(
              claim, "titration", t.value(), Showing.word(t.unit()), Optional.empty(), wallAhead));
    } else if (claim instanceof Entry.Addition a) {
      Optional<String> product = Optional.of(a.product().word());
      return Optional.of(toConfirm(claim, "addition", a.litres(), "litres", product, wallAhead));
    }
    return Optional.empty();
  }

  private static TankStatePayload.EntryToConfirm toConfirm(
      Entry claim,
      String type,
      double value,
      String unit,
      Optional<String> product,
      Duration wallAhead) {
    return new TankStatePayload.EntryToConfirm(
        claim.stamp().id(),
        type,
        claim.stamp().author(),
        value,
        unit,
        product,
        claim.stamp().happenedAt().plus(wallAhead));
  }
}
