package org.bathwarden.alarm;

import java.util.Collections;
import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.tank.TankId;

/**
 * All alarms of one tank, or of one line connection or the site, which then bears a name of its
 * own. Plain data, kept by the record.
 *
 * @param tank whose alarms these are
 * @param alarms where each alarm stands that ever moved; an absent one is normal
 */
public record AlarmState(TankId tank, Map<AlarmKey, AlarmStatus> alarms) {

  /** Copies the map, in the order of the catalogue. */
  public AlarmState {
    Map<AlarmKey, AlarmStatus> copy = new EnumMap<>(AlarmKey.class);
    copy.putAll(alarms);
    alarms = Collections.unmodifiableMap(copy);
  }

  /** No alarm ever moved. */
  public static AlarmState initial(TankId tank) {
    return new AlarmState(tank, Map.of());
  }

  /** Where {@code key} stands, if it ever moved. */
  public Optional<AlarmStatus> status(AlarmKey key) {
    return Optional.ofNullable(alarms.get(key));
  }

  /** State of {@code key}. */
  public AlarmLife life(AlarmKey key) {
    return status(key).map(AlarmStatus::life).orElse(AlarmLife.NORMAL);
  }

  /** Whether the process is abnormal by {@code key}, after the delays. Feeds {@link Limit}. */
  public boolean active(AlarmKey key) {
    return status(key).map(AlarmStatus::active).orElse(false);
  }

  /** Whether a delay of {@code key} runs. */
  public boolean pending(AlarmKey key) {
    return status(key).flatMap(AlarmStatus::pendingSince).isPresent();
  }

  /** Alarms that call for attention now. */
  public Set<AlarmKey> annunciated() {
    return alarms.entrySet().stream()
        .filter(e -> e.getValue().life().annunciated())
        .map(Map.Entry::getKey)
        .collect(Collectors.toUnmodifiableSet());
  }

  /** Alarms whose condition hides their consequences, here and in the tanks they speak for. */
  public Set<AlarmKey> standingCauses() {
    return alarms.entrySet().stream()
        .filter(e -> e.getValue().standing())
        .map(Map.Entry::getKey)
        .collect(Collectors.toUnmodifiableSet());
  }
}
