package org.bathwarden.config;

import java.util.List;
import java.util.Optional;
import org.bathwarden.alarm.AlarmDefinition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.Priority;

/** Changes the alarm catalogue by what a tank says of its alarms. */
final class AlarmReader {

  private AlarmReader() {}

  static AlarmSettings change(
      AlarmSettings settings, Section alarms, String key, List<Problem> problems) {
    Optional<AlarmKey> alarm = AlarmKey.of(key);
    if (alarm.isEmpty()) {
      problems.add(alarms.error(key, "no such alarm in the catalogue"));
      return settings;
    }
    Section own = alarms.section(key);
    AlarmDefinition d = settings.of(alarm.get());
    return settings.with(
        new AlarmDefinition(
            d.key(),
            d.title(),
            own.word(Priority.class, "priority", d.priority()),
            d.alarmClass(),
            d.scope(),
            d.setpoint(),
            own.duration("on_delay", d.onDelay()),
            own.duration("off_delay", d.offDelay()),
            d.deadband(),
            d.deadbandUnit(),
            d.latching(),
            d.cause(),
            d.consequence(),
            own.text("response_alone", d.responseAlone()),
            own.text("response_with_help", d.responseWithHelp()),
            own.duration("respond_within", d.respondWithin()),
            own.duration("max_shelving", d.maxShelving()),
            d.suppressedIn(),
            d.hiddenBy(),
            d.reAlarm(),
            d.approval()));
  }
}
