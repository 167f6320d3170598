package org.bathwarden.alarm;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.Now;

/**
 * Where one alarm stands. Plain data: written to the record and read back after a restart.
 *
 * @param life state of the life cycle
 * @param active whether the process is abnormal, after the delays
 * @param since when the life state was entered
 * @param activeSince since when the process is abnormal; empty if it is not
 * @param pendingSince since when the condition differs from {@code active}, steady clock: a delay
 *     is running
 * @param shelvedUntil when shelving ends, steady clock; empty if not shelved
 * @param hidden whether it is suppressed as the consequence of a known cause
 * @param priority priority in force
 * @param value value in words, as last said while the condition was there
 * @param evidence evidence, as last said while the condition was there
 * @param sequence number of its changes so far; the last one's event id ends with it
 */
public record AlarmStatus(
    AlarmLife life,
    boolean active,
    Now since,
    Optional<Now> activeSince,
    Optional<Instant> pendingSince,
    Optional<Instant> shelvedUntil,
    boolean hidden,
    Priority priority,
    String value,
    String evidence,
    long sequence) {

  /** An alarm of which nothing was heard yet. */
  static AlarmStatus initial(AlarmDefinition definition) {
    return new AlarmStatus(
        AlarmLife.NORMAL,
        false,
        Now.at(Instant.EPOCH),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        false,
        definition.priority(),
        "",
        "",
        0);
  }

  /** Whether its condition stands and may hide its consequences. */
  boolean standing() {
    return active && life != AlarmLife.SUPPRESSED_BY_DESIGN && life != AlarmLife.OUT_OF_SERVICE;
  }

  /** The same after its condition was judged, with the delay that applies to its change. */
  AlarmStatus judged(Presence presence, Duration delay, Now now) {
    boolean target =
        switch (presence) {
          case ACTIVE, PROVED -> true;
          case NORMAL -> false;
          case UNKNOWN -> active;
        };
    if (target == active) {
      return pendingSince.isEmpty() ? this : process(active, activeSince, Optional.empty());
    }
    Instant pending = pendingSince.orElse(now.steady());
    if (Duration.between(pending, now.steady()).compareTo(delay) < 0) {
      return process(active, activeSince, Optional.of(pending));
    }
    return process(target, target ? Optional.of(now) : Optional.empty(), Optional.empty());
  }

  private AlarmStatus process(
      boolean nowActive, Optional<Now> nowActiveSince, Optional<Instant> nowPendingSince) {
    return new AlarmStatus(
        life,
        nowActive,
        since,
        nowActiveSince,
        nowPendingSince,
        shelvedUntil,
        hidden,
        priority,
        value,
        evidence,
        sequence);
  }

  /** The same in another life state, one change further; a shelving or hiding is over. */
  AlarmStatus moved(AlarmLife to, Now now) {
    return new AlarmStatus(
        to,
        active,
        now,
        activeSince,
        pendingSince,
        Optional.empty(),
        false,
        priority,
        value,
        evidence,
        sequence + 1);
  }

  /** The same, one change further in the same life state. */
  AlarmStatus noted() {
    return with(shelvedUntil, hidden, priority, value, evidence, sequence + 1);
  }

  AlarmStatus shelvedUntil(Instant until) {
    return with(Optional.of(until), hidden, priority, value, evidence, sequence);
  }

  AlarmStatus hiddenByCause() {
    return with(shelvedUntil, true, priority, value, evidence, sequence);
  }

  /** The same with what its condition says now. */
  AlarmStatus described(Priority inForce, String words, String reasons) {
    return with(shelvedUntil, hidden, inForce, words, reasons, sequence);
  }

  private AlarmStatus with(
      Optional<Instant> until,
      boolean nowHidden,
      Priority inForce,
      String words,
      String reasons,
      long number) {
    return new AlarmStatus(
        life,
        active,
        since,
        activeSince,
        pendingSince,
        until,
        nowHidden,
        inForce,
        words,
        reasons,
        number);
  }
}
