package org.bathwarden.cycle;

import static org.bathwarden.alarm.AlarmCondition.normal;
import static org.bathwarden.alarm.AlarmCondition.of;
import static org.bathwarden.cycle.Evidence.number;
import static org.bathwarden.cycle.Evidence.words;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.estimate.Flag;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;

/** Alarms of the measuring points. */
final class ProbeConditions {

  private ProbeConditions() {}

  static List<AlarmCondition> found(Evidence seen) {
    List<AlarmCondition> found = new ArrayList<>();
    found.add(probe(seen, AlarmKey.LEVEL_BAD, Point.LEVEL, Flag.LEVEL_SUSPECT));
    found.add(
        probe(
            seen, AlarmKey.CONDUCTIVITY_PROBE_BAD, Point.CONDUCTIVITY, Flag.CONDUCTIVITY_SUSPECT));
    found.add(
        probe(seen, AlarmKey.TEMPERATURE_PROBE_BAD, Point.TEMPERATURE, Flag.TEMPERATURE_MISSING));
    found.add(probe(seen, AlarmKey.PH_PROBE_BAD, Point.PH));
    return found;
  }

  /**
   * @param contradictions flags with which the estimator leaves the probe out
   */
  private static AlarmCondition probe(
      Evidence seen, AlarmKey key, Point point, Flag... contradictions) {
    Quality quality = seen.signals().reading(point).quality();
    if (quality.reason() == Quality.Reason.NOT_WIRED) {
      return normal(key);
    }
    boolean suspect = Stream.of(contradictions).anyMatch(seen.estimate().flags()::contains);
    String evidence = quality.good() ? "contradicts the balance" : words(quality.reason());
    return of(
        key,
        !quality.good() || suspect,
        () -> number(seen.signals().reading(point).value(), point.unit()),
        evidence);
  }
}
