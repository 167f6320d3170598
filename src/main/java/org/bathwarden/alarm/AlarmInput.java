package org.bathwarden.alarm;

import java.util.List;
import java.util.Set;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;

/**
 * What one run of the alarms takes in.
 *
 * @param conditions what the pass found; an alarm without a condition keeps what it had
 * @param bath state of the bath, which suppresses what is meaningless in it; for alarms of a line
 *     or the site any value will do
 * @param causesElsewhere causes that stand outside this tank and hide its consequences, typically
 *     {@link AlarmKey#LINE_LOST} of the tank's connection
 * @param entries entries of people; others than acknowledge, shelve, service change and alarm reset
 *     are passed over
 * @param now the moment
 */
public record AlarmInput(
    List<AlarmCondition> conditions,
    BathState bath,
    Set<AlarmKey> causesElsewhere,
    List<Entry> entries,
    Now now) {

  /** Copies the collections. */
  public AlarmInput {
    conditions = List.copyOf(conditions);
    causesElsewhere = Set.copyOf(causesElsewhere);
    entries = List.copyOf(entries);
  }
}
