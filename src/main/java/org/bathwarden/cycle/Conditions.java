package org.bathwarden.cycle;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.dosing.Cause;
import org.bathwarden.estimate.LossWatch;

/** What one pass has to say about every alarm of a tank. */
final class Conditions {

  private Conditions() {}

  /** One condition for each alarm of the tank. */
  static List<AlarmCondition> found(Evidence seen) {
    List<AlarmCondition> found = new ArrayList<>();
    found.addAll(LevelConditions.found(seen));
    found.addAll(BathConditions.found(seen));
    found.addAll(ProbeConditions.found(seen));
    found.addAll(TitrationConditions.found(seen));
    found.addAll(DoseConditions.found(seen));
    found.addAll(AuthorityConditions.found(seen, found));
    return found;
  }

  /** Causes of the cause and effect table that lie outside dosing's own sight. */
  static Set<Cause> causes(Sheet sheet, LossWatch loss, ResponseWatch response) {
    Set<Cause> causes = EnumSet.noneOf(Cause.class);
    if (loss.fast(sheet.tank().geometry())) {
      causes.add(Cause.FAST_LOSS);
    }
    if (response.mismatch()) {
      causes.add(Cause.RESPONSE_MISMATCH);
    }
    return causes;
  }
}
