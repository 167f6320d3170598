package org.bathwarden.alarm;

import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/**
 * One reported change of one alarm.
 *
 * @param eventId {@code tank/key/sequence}; the same change has the same id after a restart
 * @param tank the tank, or the line or site, that it speaks of
 * @param definition the alarm's record in the catalogue, with all its texts
 * @param what what happened
 * @param from state before
 * @param to state after
 * @param priority priority in force
 * @param at when, on both clocks
 * @param author who did it; empty if nobody did
 * @param comment what the person said, or why it happened by itself
 * @param value value of the condition in words, as at the activation
 * @param evidence what the condition was concluded from
 */
public record AlarmChange(
    String eventId,
    TankId tank,
    AlarmDefinition definition,
    Happening what,
    AlarmLife from,
    AlarmLife to,
    Priority priority,
    Now at,
    String author,
    String comment,
    String value,
    String evidence) {

  /** Whether this change calls for attention anew: the alarms that are counted per operator. */
  public boolean annunciates() {
    return to == AlarmLife.UNACKNOWLEDGED && from != AlarmLife.UNACKNOWLEDGED;
  }
}
