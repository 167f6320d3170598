package org.bathwarden.alarm;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** What a definition must fulfil: an alarm without a response in available time is none. */
final class DefinitionCheck {
  private static final Duration LONGEST_DELAY = Duration.ofHours(24);
  private static final Duration LONGEST_SHELVING = Duration.ofHours(24);

  private final AlarmDefinition definition;
  private final List<AlarmSettings.Problem> problems = new ArrayList<>();

  private DefinitionCheck(AlarmDefinition definition) {
    this.definition = definition;
  }

  static List<AlarmSettings.Problem> of(AlarmDefinition definition) {
    DefinitionCheck check = new DefinitionCheck(definition);
    check.texts();
    check.times();
    return check.problems;
  }

  private void texts() {
    Map<String, String> mandatory = new TreeMap<>();
    mandatory.put("title", definition.title());
    mandatory.put("setpoint", definition.setpoint());
    mandatory.put("cause", definition.cause());
    mandatory.put("consequence", definition.consequence());
    mandatory.put("response_alone", definition.responseAlone());
    mandatory.put("response_with_help", definition.responseWithHelp());
    mandatory.put("approval", definition.approval());
    mandatory.forEach(
        (field, text) -> refuseIf(text.isBlank(), field, "\"\"", "a text: an alarm needs it"));
    refuseIf(
        !Double.isFinite(definition.deadband()) || definition.deadband() < 0,
        "deadband",
        Double.toString(definition.deadband()),
        "0 or more");
  }

  private void times() {
    between("on_delay", definition.onDelay(), Duration.ZERO, LONGEST_DELAY);
    between("off_delay", definition.offDelay(), Duration.ZERO, LONGEST_DELAY);
    between("respond_within", definition.respondWithin(), Duration.ofMinutes(1), LONGEST_DELAY);
    between("max_shelving", definition.maxShelving(), Duration.ofMinutes(1), LONGEST_SHELVING);
    definition
        .reAlarm()
        .ifPresent(t -> between("re_alarm", t, Duration.ofMinutes(1), LONGEST_DELAY));
  }

  private void between(String field, Duration found, Duration least, Duration most) {
    refuseIf(
        found.compareTo(least) < 0 || found.compareTo(most) > 0,
        field,
        found.toString(),
        least + " to " + most);
  }

  private void refuseIf(boolean wrong, String field, String found, String allowed) {
    if (wrong) {
      problems.add(new AlarmSettings.Problem(definition.key().key() + "." + field, found, allowed));
    }
  }
}
