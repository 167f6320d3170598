package org.bathwarden.dosing;

import java.util.Set;
import org.bathwarden.tank.Supply;

/**
 * What the shell knows that a pass must take into account.
 *
 * @param recordHealthy whether the last commit to the record succeeded in time
 * @param granted supplies granted to this tank until its order is final
 * @param overruns scans in a row that ran over their period
 * @param clockJumped whether the wall clock stepped by more than 60 s since the last pass
 * @param passFailed whether the previous pass of this tank ended in an error
 */
public record Surroundings(
    boolean recordHealthy,
    Set<Supply> granted,
    int overruns,
    boolean clockJumped,
    boolean passFailed) {

  /** Copies the set. */
  public Surroundings {
    granted = Set.copyOf(granted);
  }
}
