package org.bathwarden.cycle;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Finding;
import org.bathwarden.estimate.FindingKind;
import org.jspecify.annotations.Nullable;

/** What the estimator newly found or withdrew in a pass. */
final class News {

  private News() {}

  /**
   * Findings of {@code after} that are new, or withdrawn only now. Doubtful titrations are left
   * out: their verdicts are told, and told anew when they change.
   */
  static List<Finding> of(EstimateState before, EstimateState after) {
    List<Finding> now = after.findings();
    if (now.equals(before.findings())) {
      return List.of();
    }
    Map<Long, Finding> known = new HashMap<>();
    before.findings().forEach(finding -> known.put(finding.number(), finding));
    return now.stream()
        .filter(finding -> finding.kind() != FindingKind.DOUBTFUL_TITRATION)
        .filter(finding -> news(known.get(finding.number()), finding))
        .toList();
  }

  private static boolean news(@Nullable Finding before, Finding now) {
    return before == null ? !now.withdrawn() : before.withdrawn() != now.withdrawn();
  }
}
