package org.bathwarden.cycle;

import java.util.List;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;

/**
 * Everything one pass takes in.
 *
 * @param image what was read
 * @param entries what people entered since the last pass, in order of arrival
 * @param written what became of the writes of the last pass
 * @param stopping whether the process is about to stop: command is left, the mode stays
 * @param around what the shell knows
 * @param causesElsewhere causes that stand at the connection or the site and hide consequences here
 * @param now the moment
 */
public record PassInput(
    TankImage image,
    List<Entry> entries,
    List<WriteOutcome> written,
    boolean stopping,
    Surroundings around,
    Set<AlarmKey> causesElsewhere,
    Now now) {

  /** Copies the collections. */
  public PassInput {
    entries = List.copyOf(entries);
    written = List.copyOf(written);
    causesElsewhere = Set.copyOf(causesElsewhere);
  }
}
