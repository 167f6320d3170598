package org.bathwarden.cycle;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.TitrationVerdict;

/** Which titrations were judged, or judged anew, in a pass. */
final class Verdicts {

  private Verdicts() {}

  static List<TitrationVerdict> fresh(EstimateState before, EstimateState after) {
    Set<Judged> known = new HashSet<>();
    before.verdicts().forEach(verdict -> known.add(Judged.of(verdict)));
    return after.verdicts().stream()
        .filter(verdict -> !known.contains(Judged.of(verdict)))
        .toList();
  }

  private record Judged(String entryId, org.bathwarden.estimate.Verdict verdict, boolean vouched) {
    static Judged of(TitrationVerdict verdict) {
      return new Judged(verdict.entryId(), verdict.verdict(), verdict.vouched());
    }
  }
}
