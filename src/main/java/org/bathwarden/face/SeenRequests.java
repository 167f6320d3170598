package org.bathwarden.face;

import java.time.Instant;

/**
 * Remembers ids of requests over a restart. Called by several faces' threads, never by the scan;
 * may touch the disk; if it throws {@link RuntimeException} the request is refused.
 */
@FunctionalInterface
public interface SeenRequests {

  /** Said of a request whose id is known. */
  String REPEATED = "repeated: a request with this id came before and is not carried out twice";

  /** Said of a request when nobody knows whether its id is known. */
  String UNKNOWN =
      "the record can be neither read nor written, so whether this came before is not known; is its"
          + " disk full? Send it again later, with a fresh id";

  /**
   * Remembers an id durably.
   *
   * @param id of the request
   * @param forgetAfter the request has expired by then, so that its id need not be kept longer
   * @return true if it was not known before
   */
  boolean firstTime(String id, Instant forgetAfter);
}
