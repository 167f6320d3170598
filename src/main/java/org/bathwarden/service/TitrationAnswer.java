package org.bathwarden.service;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.InterlockState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;

/** What somebody is told who entered a titration: the result in %, and whether it counts. Pure. */
final class TitrationAnswer {

  private static final String AGAIN =
      "draw a new sample and titrate it; a slip of the pen is taken back by a correction, and a new"
          + " sample is needed all the same";

  private TitrationAnswer() {}

  static String of(Stamp stamp, Sheet sheet, PassResult result, Now now) {
    Optional<TitrationVerdict> judged =
        Estimator.foreseen(sheet.estimator(), result.after().estimate()).stream()
            .filter(verdict -> verdict.entryId().equals(stamp.id()))
            .findFirst();
    return judged
        .map(
            verdict ->
                String.format(
                    Locale.ROOT,
                    "taken: %.2f %% against %.2f %% expected: %s",
                    verdict.resultPct(),
                    verdict.predictedPct(),
                    words(verdict, sheet, result, now)))
        .orElse("taken, judged within a minute: the events and the tank's state say how");
  }

  private static String words(TitrationVerdict titration, Sheet sheet, PassResult result, Now now) {
    return switch (titration.verdict()) {
      case ACCEPTED -> "accepted, counts within a minute" + trip(titration, result);
      case INDICATIVE -> "agrees, and moves the estimate; a titration stays due as before";
      case CONFIRMS_DOUBTFUL ->
          "agrees with the doubtful one before, both stand" + trip(titration, result);
      case DOUBTFUL_HIGH -> "doubtful, too high: concentrate is held; " + AGAIN;
      case DOUBTFUL_LOW -> "doubtful, too low: nothing is added because of it; " + AGAIN;
      case NOT_REPRESENTATIVE -> notRepresentative(titration, sheet, result, now);
    };
  }

  /** What becomes of the hold that a doubtful one before it left. */
  private static String trip(TitrationVerdict titration, PassResult result) {
    Optional<Instant> tripped =
        heldSince(result.after().dosing().interlocks(), Cause.TITRATION_DOUBTFUL_HIGH);
    if (tripped.isEmpty()) {
      return "";
    }
    return titration.sampleAt().isAfter(tripped.get())
        ? "; then trip_reset of titration_doubtful_high by a chemist"
        : "; its sample is older than the trip titration_doubtful_high, so concentrate stays held"
            + " until one drawn from now on is accepted";
  }

  /** When {@code cause} tripped, steady time; empty if it is not latched. */
  static Optional<Instant> heldSince(InterlockState interlocks, Cause cause) {
    return interlocks.latched().contains(cause)
        ? Optional.ofNullable(interlocks.causes().get(cause)).flatMap(m -> m.trippedAt())
        : Optional.empty();
  }

  /** Whether a vouched one is accepted that dosing goes by within a minute only. */
  static boolean acceptedSoon(Sheet sheet, PassResult result) {
    List<TitrationVerdict> known = result.after().estimate().verdicts();
    return Estimator.foreseen(sheet.estimator(), result.after().estimate()).stream()
        .filter(verdict -> verdict.verdict().accepted() && verdict.vouched())
        .anyMatch(verdict -> known.stream().noneMatch(k -> k.entryId().equals(verdict.entryId())));
  }

  private static String notRepresentative(
      TitrationVerdict titration, Sheet sheet, PassResult result, Now now) {
    Optional<Instant> from = countsFrom(sheet, result, now);
    String held =
        titration.resultPct() > sheet.tank().band().highPct()
            ? "; it is above the high limit, so concentrate is held until one is accepted"
            : "";
    return "does not count, the bath was not mixed when the sample was drawn; draw a new one "
        + from.map(at -> "after " + at).orElse("now, while it circulates")
        + held;
  }

  /**
   * Until when a sample would be drawn too early, wall time to the second; empty if one drawn now
   * counts, or if the bath stands still and none does.
   */
  static Optional<Instant> countsFrom(Sheet sheet, PassResult result, Now now) {
    Duration wait = sheet.dosing().limits().mixingWait();
    return result
        .after()
        .dosing()
        .ledger()
        .lastFlowAt()
        .map(at -> at.plus(wait))
        .filter(until -> until.isAfter(now.steady()))
        .map(until -> until.plus(SteadyClock.offset(now)).plusMillis(999))
        .map(until -> until.truncatedTo(ChronoUnit.SECONDS));
  }
}
