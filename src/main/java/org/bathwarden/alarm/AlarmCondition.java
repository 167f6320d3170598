package org.bathwarden.alarm;

import java.util.Optional;
import java.util.function.Supplier;

/**
 * What a pass found about the condition behind one alarm.
 *
 * @param key which alarm
 * @param presence whether the condition is there
 * @param value the value in words with its unit, for the alarm line; empty unless it is there
 * @param evidence what it was concluded from: which probe, order, drum, check
 * @param priority raises the alarm above the priority of its definition; a lower one is ignored
 */
public record AlarmCondition(
    AlarmKey key, Presence presence, String value, String evidence, Optional<Priority> priority) {

  /** The condition is there. */
  public static AlarmCondition active(AlarmKey key, String value, String evidence) {
    return new AlarmCondition(key, Presence.ACTIVE, value, evidence, Optional.empty());
  }

  /** The condition is there and proved without waiting. */
  public static AlarmCondition proved(AlarmKey key, String value, String evidence) {
    return new AlarmCondition(key, Presence.PROVED, value, evidence, Optional.empty());
  }

  /** The condition is not there. */
  public static AlarmCondition normal(AlarmKey key) {
    return new AlarmCondition(key, Presence.NORMAL, "", "", Optional.empty());
  }

  /** Nothing can be said. */
  public static AlarmCondition unknown(AlarmKey key, String why) {
    return new AlarmCondition(key, Presence.UNKNOWN, "", why, Optional.empty());
  }

  /** The condition is there or not. */
  public static AlarmCondition of(AlarmKey key, boolean active, String value, String evidence) {
    return active ? active(key, value, evidence) : normal(key);
  }

  /** The condition is there or not; the value is put into words only if it is. */
  public static AlarmCondition of(
      AlarmKey key, boolean active, Supplier<String> value, String evidence) {
    return judged(key, active ? Presence.ACTIVE : Presence.NORMAL, value, evidence);
  }

  /** The condition as judged; the value is put into words only if it is there. */
  public static AlarmCondition judged(
      AlarmKey key, Presence presence, Supplier<String> value, String evidence) {
    return switch (presence) {
      case ACTIVE -> active(key, value.get(), evidence);
      case PROVED -> proved(key, value.get(), evidence);
      case NORMAL -> normal(key);
      case UNKNOWN -> unknown(key, evidence);
    };
  }

  /** The same with at least this priority. */
  public AlarmCondition atLeast(Priority raised) {
    return new AlarmCondition(key, presence, value, evidence, Optional.of(raised));
  }
}
