package org.bathwarden.bench.campaign;

import java.util.List;
import java.util.Map;

/**
 * What the check of one sequence found.
 *
 * @param found everything that is wrong
 * @param struck how often each kind really struck
 * @param orders orders that the PLC took up
 * @param crashes times the process was killed
 * @param moves steps that procedures took
 * @param longestToSafeMs longest time that an output was driven while nobody commanded it
 * @param toSafeMs the same by what had befallen
 * @param longestWithoutPermitMs longest time that an output was driven without a permit
 * @param unbookedMl volume that flowed and is in no book, or is in one and did not flow
 * @param ends how each controller ended, tank by tank
 */
record Verdict(
    List<Finding> found,
    Map<StrikeKind, Integer> struck,
    int orders,
    int crashes,
    int moves,
    long longestToSafeMs,
    Map<StrikeKind, Long> toSafeMs,
    int longestWithoutPermitMs,
    long unbookedMl,
    List<String> ends) {

  /** What can be wrong. */
  enum Wrong {
    DOUBLE_DOSE,
    UNBOOKED,
    WITHOUT_PERMIT,
    ALARM_MISSED,
    NOT_SAFE,
    FALSE_TRIP,
    RECORD_LOST,
    BATH,
    NO_VERDICT
  }

  /** One thing that is wrong, in words. */
  record Finding(Wrong what, String detail) {}

  /** Of a sequence that came to no end of its own: that too is found wrong, never left out. */
  static Verdict none(Throwable why) {
    List<Finding> found = List.of(new Finding(Wrong.NO_VERDICT, why.toString()));
    return new Verdict(found, Map.of(), 0, 0, 0, 0, Map.of(), 0, 0, List.of());
  }

  boolean has(Wrong what) {
    return found.stream().anyMatch(f -> f.what() == what);
  }
}
