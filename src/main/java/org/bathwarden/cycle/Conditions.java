package org.bathwarden.cycle;

import java.util.ArrayList;
import java.util.List;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmInput;
import org.bathwarden.tank.Entry;

/** What one pass has to say about every alarm of a tank. */
final class Conditions {

  private Conditions() {}

  /** What the alarms of the tank run on. */
  static AlarmInput judged(Evidence seen, List<Entry> entries) {
    return new AlarmInput(
        found(seen),
        seen.dosing().after().bath().state(),
        seen.input().causesElsewhere(),
        entries,
        seen.input().now());
  }

  /** One condition for each alarm of the tank. */
  private static List<AlarmCondition> found(Evidence seen) {
    List<AlarmCondition> found = new ArrayList<>();
    found.addAll(LevelConditions.found(seen));
    found.addAll(BathConditions.found(seen));
    found.addAll(ProbeConditions.found(seen));
    found.addAll(TitrationConditions.found(seen));
    found.addAll(DoseConditions.found(seen));
    found.addAll(AuthorityConditions.found(seen, found));
    return found;
  }
}
