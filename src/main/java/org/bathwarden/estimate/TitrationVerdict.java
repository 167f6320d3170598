package org.bathwarden.estimate;

import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * A titration against what was expected of it at the time of its sample.
 *
 * @param entryId id of the entry
 * @param sampleAt when the sample was drawn
 * @param resultPct result, corrected for the half drop where the factor needs it, %
 * @param resultAsCountedPct result as counted, %
 * @param uPct standard uncertainty of the result, %
 * @param predictedPct expected from all other evidence, %
 * @param predictiveUPct standard deviation of result minus expectation, %
 * @param verdict what became of it
 * @param vouched whether someone with access to the controller stands for it
 */
public record TitrationVerdict(
    String entryId,
    Instant sampleAt,
    double resultPct,
    double resultAsCountedPct,
    double uPct,
    double predictedPct,
    double predictiveUPct,
    Verdict verdict,
    boolean vouched) {

  /** The latest that is more than an indication by a coarse method. */
  public static Optional<TitrationVerdict> lastThatCounts(List<TitrationVerdict> verdicts) {
    for (int i = verdicts.size() - 1; i >= 0; i--) {
      if (verdicts.get(i).verdict() != Verdict.INDICATIVE) {
        return Optional.of(verdicts.get(i));
      }
    }
    return Optional.empty();
  }
}
