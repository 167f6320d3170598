package org.bathwarden.service;

import java.util.List;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.service.TankRunner.Passed;
import org.bathwarden.tank.Now;

/** Whoever is shown what rounds gave. Called by scan threads; must neither block nor throw. */
public interface Audience {

  /**
   * A tank's pass ended.
   *
   * @param stored whether its facts are on the disk, or on their way as usual
   */
  default void passed(Passed passed, boolean stored) {}

  /** Alarms of a connection or the site ran. */
  default void watched(AlarmState state, List<AlarmChange> changes, boolean stored, Now now) {}

  /** A round of a connection ended. */
  default void roundEnded(RoundReport report) {}

  /**
   * How a round went.
   *
   * @param connection its name
   * @param durationNanos how long it took, ns
   * @param overruns rounds in a row that took too long
   * @param missed rounds skipped since the start
   * @param failedPasses passes that ended in an error in this round
   * @param recordHealthy whether the record takes what it is given
   * @param linkUp whether any of its tanks could be read
   */
  record RoundReport(
      String connection,
      long durationNanos,
      int overruns,
      long missed,
      int failedPasses,
      boolean recordHealthy,
      boolean linkUp,
      Now now) {}
}
