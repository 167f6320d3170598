package org.bathwarden.alarm;

/** The alarms of one tank, line or site, one run for each pass. */
public final class Alarms {
  private Alarms() {}

  /**
   * Runs the life cycle once: entries first, on the state that their authors saw, then suppression,
   * conditions with their delays, shelving times and re-alarms.
   *
   * @param settings the catalogue in force
   * @param before where all alarms stood
   * @param input conditions, entries, bath state and time
   */
  public static AlarmStep run(AlarmSettings settings, AlarmState before, AlarmInput input) {
    return new AlarmRun(settings, before, input).run();
  }
}
