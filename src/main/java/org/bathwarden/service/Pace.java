package org.bathwarden.service;

import java.util.Optional;
import org.bathwarden.tank.Now;

/** When rounds begin. */
public interface Pace {

  /** Waits for the next round; empty once there are no more. */
  Optional<Now> awaitNext();

  /** Rounds in a row that ended after the next one was due. */
  int overruns();

  /** Rounds that were skipped since the start because the one before took too long. */
  long missed();
}
