package org.bathwarden.alarm;

import java.time.Duration;
import java.util.EnumSet;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.BathState;

/** Builds one default definition, so that the catalogue reads as a table. */
final class Draft {
  /** Off-delay where none is set: long enough that a flapping condition is one alarm. */
  private static final Duration OFF_DELAY = Duration.ofSeconds(60);

  static final Set<BathState> NEVER = EnumSet.noneOf(BathState.class);
  static final Set<BathState> NO_BATH =
      EnumSet.of(BathState.EMPTY, BathState.DRAINING, BathState.OUT_OF_USE);
  static final Set<BathState> NO_WORKING_LEVEL =
      EnumSet.of(BathState.EMPTY, BathState.CHARGING, BathState.DRAINING, BathState.OUT_OF_USE);
  static final Set<BathState> NOT_IN_USE = EnumSet.complementOf(EnumSet.of(BathState.IN_USE));

  private final AlarmKey key;
  private final String title;
  private final Priority priority;
  private final AlarmClass alarmClass;
  private AlarmDefinition.Scope scope = AlarmDefinition.Scope.TANK;
  private String setpoint = "";
  private Duration onDelay = Duration.ZERO;
  private Duration offDelay = OFF_DELAY;
  private double deadband;
  private String deadbandUnit = "no measured value";
  private boolean latching;
  private String cause = "";
  private String consequence = "";
  private String responseAlone = "";
  private String responseWithHelp = "";
  private Duration respondWithin = Duration.ZERO;
  private Set<BathState> suppressedIn = NEVER;
  private Set<AlarmKey> hiddenBy = EnumSet.noneOf(AlarmKey.class);
  private Optional<Duration> reAlarm = Optional.empty();

  Draft(AlarmKey key, String title, Priority priority, AlarmClass alarmClass) {
    this.key = key;
    this.title = title;
    this.priority = priority;
    this.alarmClass = alarmClass;
  }

  Draft when(String condition, Duration delay) {
    setpoint = condition;
    onDelay = delay;
    return this;
  }

  Draft offAfter(Duration delay) {
    offDelay = delay;
    return this;
  }

  Draft deadband(double width, String unit) {
    deadband = width;
    deadbandUnit = unit;
    return this;
  }

  Draft of(AlarmDefinition.Scope other) {
    scope = other;
    return this;
  }

  Draft latching() {
    latching = true;
    return this;
  }

  Draft because(String usualCause, String ifNobodyResponds) {
    cause = usualCause;
    consequence = ifNobodyResponds;
    return this;
  }

  Draft alone(String response) {
    responseAlone = response;
    return this;
  }

  Draft withHelp(String response) {
    responseWithHelp = response;
    return this;
  }

  Draft within(Duration time) {
    respondWithin = time;
    return this;
  }

  Draft notIn(Set<BathState> states) {
    suppressedIn = states;
    return this;
  }

  Draft hiddenBy(AlarmKey first, AlarmKey... others) {
    hiddenBy = EnumSet.of(first, others);
    return this;
  }

  Draft reAlarmAfter(Duration time) {
    reAlarm = Optional.of(time);
    return this;
  }

  AlarmDefinition done() {
    return new AlarmDefinition(
        key,
        title,
        priority,
        alarmClass,
        scope,
        setpoint,
        onDelay,
        offDelay,
        deadband,
        deadbandUnit,
        latching,
        cause,
        consequence,
        responseAlone,
        responseWithHelp,
        respondWithin,
        maxShelving(),
        suppressedIn,
        hiddenBy,
        reAlarm,
        "default, to be approved on site");
  }

  /** Urgent alarms are shelved briefly; none longer than a shift, so it survives no handover. */
  private Duration maxShelving() {
    return switch (priority) {
      case HIGH -> Duration.ofMinutes(30);
      case MEDIUM -> Duration.ofHours(2);
      case LOW -> Duration.ofHours(8);
    };
  }
}
