package org.bathwarden.line;

import java.time.Instant;
import java.util.List;
import org.bathwarden.tank.TankId;

/** Reads the images of tanks on one connection. Called by one thread at a time. Never throws. */
public interface LineReader extends AutoCloseable {

  /**
   * Reads each tank once, in the order given; after the first missed deadline the rest comes back
   * with a link that is down.
   *
   * @param due tanks to read
   * @param at the moment on the steady clock that the images will carry
   * @param by when the whole call ends at the latest
   */
  List<TankImage> read(List<TankId> due, Instant at, Deadline by);

  @Override
  void close();
}
