package org.bathwarden.config;

import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.bathwarden.alarm.AlarmDefinition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.Priority;

/** Changes the alarm catalogue by what a tank says of its alarms. */
final class AlarmReader {

  private static final List<String> KEYS = Stream.of(AlarmKey.values()).map(AlarmKey::key).toList();

  private static final List<AlarmKey> CONCENTRATION =
      List.of(
          AlarmKey.CONCENTRATION_LOW,
          AlarmKey.CONCENTRATION_HIGH,
          AlarmKey.CONCENTRATION_HIGH_LIGHT_METAL);

  private AlarmReader() {}

  /** The catalogue for {@code tank}; what is wrong with it goes into {@code problems}. */
  static AlarmSettings read(Section tank, List<Problem> problems) {
    AlarmSettings settings = AlarmSettings.defaults();
    Section alarms = tank.section("alarms");
    for (String key : alarms.keys()) {
      Optional<AlarmKey> alarm = AlarmKey.of(key);
      if (alarm.isEmpty()) {
        problems.add(alarms.error(key, "no such alarm in the catalogue" + Nearest.hint(key, KEYS)));
      } else {
        AlarmDefinition d = settings.of(alarm.get());
        settings = settings.with(changed(d, alarms.section(key), d.deadband()));
      }
    }
    Section band = tank.section("band");
    if (band.has("deadband_pct")) {
      double ofTargetPct = 100 * band.number("deadband_pct", 0) / band.number("target_pct", 1);
      for (AlarmKey key : CONCENTRATION) {
        Section own = alarms.section(key.key());
        settings = settings.with(changed(settings.of(key), own, ofTargetPct));
      }
    }
    for (AlarmSettings.Problem problem : settings.validate()) {
      String path = alarms.at(problem.path());
      problems.add(
          new Problem(
              Problem.Severity.ERROR,
              tank.document().file(),
              tank.document().line(path),
              path,
              problem.found(),
              problem.allowed()));
    }
    return settings;
  }

  private static AlarmDefinition changed(AlarmDefinition d, Section own, double deadband) {
    return new AlarmDefinition(
        d.key(),
        d.title(),
        own.word(Priority.class, "priority", d.priority()),
        d.alarmClass(),
        d.scope(),
        d.setpoint(),
        own.duration("on_delay", d.onDelay()),
        own.duration("off_delay", d.offDelay()),
        deadband,
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
        d.approval());
  }
}
