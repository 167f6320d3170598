package org.bathwarden.face;

import java.time.Instant;

/**
 * Remembers ids of requests over a restart. Called by several faces' threads, never by the scan;
 * may touch the disk; if it throws {@link RuntimeException} the request is refused.
 */
@FunctionalInterface
public interface SeenRequests {
  /**
   * Remembers an id durably.
   *
   * @param id of the request
   * @param forgetAfter the request has expired by then, so that its id need not be kept longer
   * @return true if it was not known before
   */
  boolean firstTime(String id, Instant forgetAfter);
}
