package org.bathwarden.line;

import java.time.Instant;
import org.bathwarden.tank.TankId;

/** Looks at one tank closely, reading only. Called by the thread that reads. Never throws. */
public interface LineProbe {

  /**
   * Reads one tank with all that is known of each item.
   *
   * @param at the moment on the steady clock that the image will carry
   * @param by when the call ends at the latest
   */
  ProbeReport probe(TankId tank, Instant at, Deadline by);
}
