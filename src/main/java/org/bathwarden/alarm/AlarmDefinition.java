package org.bathwarden.alarm;

import java.time.Duration;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.BathState;

/**
 * The master record of one alarm, as ISA-18.2 and IEC 62682 ask for it.
 *
 * @param key name
 * @param title what the operator reads
 * @param priority urgency, unless a condition raises it
 * @param alarmClass kind of harm
 * @param scope whose alarm it is: the tank's, a line connection's or the site's
 * @param setpoint the condition in words; figures come from the tank's sheet and limits
 * @param onDelay how long the condition must stand
 * @param offDelay how long it must be gone
 * @param deadband how far a value must return inside its limit, in {@code deadbandUnit}; 0 where
 *     the condition is no measured value
 * @param deadbandUnit unit of the deadband, or why there is none
 * @param latching whether it stays until reset, after the process is normal
 * @param cause what usually causes it
 * @param consequence what happens if nobody responds
 * @param responseAlone what one person alone may do at night
 * @param responseWithHelp what needs a trained person and protective equipment
 * @param respondWithin time to respond
 * @param maxShelving longest time it may be shelved
 * @param suppressedIn bath states in which it is meaningless
 * @param hiddenBy causes of which it would be a mere consequence
 * @param reAlarm after which time an acknowledged alarm that still stands calls again
 * @param approval who approved this record, and when
 */
public record AlarmDefinition(
    AlarmKey key,
    String title,
    Priority priority,
    AlarmClass alarmClass,
    Scope scope,
    String setpoint,
    Duration onDelay,
    Duration offDelay,
    double deadband,
    String deadbandUnit,
    boolean latching,
    String cause,
    String consequence,
    String responseAlone,
    String responseWithHelp,
    Duration respondWithin,
    Duration maxShelving,
    Set<BathState> suppressedIn,
    Set<AlarmKey> hiddenBy,
    Optional<Duration> reAlarm,
    String approval) {

  /** Copies the sets. */
  public AlarmDefinition {
    suppressedIn = Set.copyOf(suppressedIn);
    hiddenBy = Set.copyOf(hiddenBy);
  }

  /** Whose alarm it is. */
  public enum Scope {
    /** Of one tank. */
    TANK,
    /** Of one connection to a PLC, however many tanks it serves. */
    LINE,
    /** Of the whole site. */
    SITE
  }
}
