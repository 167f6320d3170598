package org.bathwarden.alarm;

import java.util.List;
import org.bathwarden.tank.Entry;

/**
 * What one run of the alarms gives.
 *
 * @param after where all alarms stand now
 * @param changes what changed, in order
 * @param answers one for each entry that concerns alarms, in order
 */
public record AlarmStep(AlarmState after, List<AlarmChange> changes, List<Answer> answers) {

  /** Copies the lists. */
  public AlarmStep {
    changes = List.copyOf(changes);
    answers = List.copyOf(answers);
  }

  /**
   * What became of an entry.
   *
   * @param entry the entry
   * @param accepted whether it was carried out
   * @param reason why not, in words; empty if it was
   */
  public record Answer(Entry entry, boolean accepted, String reason) {}
}
