package org.bathwarden.estimate;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;

/**
 * The findings of a history, kept while it is run again: what is found again keeps its number and
 * its time, what is not is withdrawn. One thread.
 */
final class FindingLog {

  private static final int KEPT = 64;

  /** Found again within so long, it is the same. */
  private static final Duration SAME = Duration.ofMinutes(45);

  private final List<Finding> doubted = new ArrayList<>();

  /** All that stand; those of before until one changes, which few steps bring about. */
  private List<Finding> standing;

  private boolean changed;

  FindingLog(List<Finding> before) {
    standing = before;
  }

  private List<Finding> changing() {
    if (!changed) {
      changed = true;
      standing = new ArrayList<>(standing);
    }
    return standing;
  }

  /**
   * Puts in doubt what began to be said after {@code millis}: the history is run again from there.
   */
  void doubtAfter(long millis) {
    for (int i = standing.size() - 1; i >= 0; i--) {
      Finding finding = standing.get(i);
      if (!finding.withdrawn() && finding.since().toEpochMilli() >= millis) {
        doubted.add(changing().remove(i));
      }
    }
  }

  /** Takes in a finding, as said at {@code now} unless it was said before. */
  void add(Finding finding, Instant now) {
    for (int i = 0; i < standing.size(); i++) {
      if (same(standing.get(i), finding)) {
        return;
      }
    }
    for (Finding before : doubted) {
      if (same(before, finding)) {
        doubted.remove(before);
        changing().add(finding.numbered(before.number(), before.time()));
        return;
      }
    }
    changing().add(finding.numbered(nextNumber(), now));
  }

  private static boolean same(Finding a, Finding b) {
    return !a.withdrawn()
        && a.kind() == b.kind()
        && a.subject().equals(b.subject())
        && Duration.between(a.since(), b.since()).abs().compareTo(SAME) < 0;
  }

  private long nextNumber() {
    long most = 0;
    for (Finding finding : standing) {
      most = Math.max(most, finding.number());
    }
    for (Finding finding : doubted) {
      most = Math.max(most, finding.number());
    }
    return most + 1;
  }

  /** All, oldest first; what was doubted and not found again is withdrawn. */
  List<Finding> settle() {
    if (!changed) {
      return standing;
    }
    for (Finding finding : doubted) {
      standing.add(finding.takenBack());
    }
    doubted.clear();
    standing.sort((a, b) -> Long.compare(a.number(), b.number()));
    return List.copyOf(standing.subList(Math.max(0, standing.size() - KEPT), standing.size()));
  }
}
