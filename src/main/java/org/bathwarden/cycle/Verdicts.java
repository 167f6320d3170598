package org.bathwarden.cycle;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.tank.Entry;

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

  /**
   * {@code fresh}, and of the titrations told in this pass those that will be found to hold
   * concentrate: it is held at once, not when the step under way ends.
   */
  static List<TitrationVerdict> withForeseen(
      List<TitrationVerdict> fresh, Sheet sheet, EstimateState after, List<Entry> entries) {
    Set<String> told = new HashSet<>();
    for (Entry entry : entries) {
      if (entry instanceof Entry.Titration titration) {
        told.add(titration.stamp().id());
      }
    }
    fresh.forEach(verdict -> told.remove(verdict.entryId()));
    if (told.isEmpty()) {
      return fresh;
    }
    List<TitrationVerdict> all = new ArrayList<>(fresh);
    Estimator.foreseen(sheet.estimator(), after).stream()
        .filter(verdict -> told.contains(verdict.entryId()) && !verdict.verdict().accepted())
        .forEach(all::add);
    return all;
  }

  private record Judged(String entryId, org.bathwarden.estimate.Verdict verdict, boolean vouched) {
    static Judged of(TitrationVerdict verdict) {
      return new Judged(verdict.entryId(), verdict.verdict(), verdict.vouched());
    }
  }
}
