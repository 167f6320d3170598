package org.bathwarden.alarm;

import java.time.Duration;
import java.util.Set;

/** Definitions with one thing changed. */
final class Definitions {
  private Definitions() {}

  static AlarmDefinition delays(AlarmDefinition d, Duration on, Duration off) {
    return copy(d, on, off, d.latching(), d.responseAlone(), d.respondWithin(), d.hiddenBy());
  }

  static AlarmDefinition notLatching(AlarmDefinition d) {
    return copy(
        d, d.onDelay(), d.offDelay(), false, d.responseAlone(), d.respondWithin(), d.hiddenBy());
  }

  static AlarmDefinition response(AlarmDefinition d, String text, Duration within) {
    return copy(d, d.onDelay(), d.offDelay(), d.latching(), text, within, d.hiddenBy());
  }

  static AlarmDefinition hiddenBy(AlarmDefinition d, AlarmKey cause) {
    return copy(
        d,
        d.onDelay(),
        d.offDelay(),
        d.latching(),
        d.responseAlone(),
        d.respondWithin(),
        Set.of(cause));
  }

  private static AlarmDefinition copy(
      AlarmDefinition d,
      Duration on,
      Duration off,
      boolean latching,
      String responseAlone,
      Duration respondWithin,
      Set<AlarmKey> hiddenBy) {
    return new AlarmDefinition(
        d.key(),
        d.title(),
        d.priority(),
        d.alarmClass(),
        d.scope(),
        d.setpoint(),
        on,
        off,
        d.deadband(),
        d.deadbandUnit(),
        latching,
        d.cause(),
        d.consequence(),
        responseAlone,
        d.responseWithHelp(),
        respondWithin,
        d.maxShelving(),
        d.suppressedIn(),
        hiddenBy,
        d.reAlarm(),
        d.approval());
  }
}
