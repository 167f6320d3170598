package org.bathwarden.face;

import java.time.Instant;
import java.util.Collections;
import java.util.Map;
import java.util.TreeMap;

/**
 * One thing that happened, as it stands in the record.
 *
 * @param sequence its place in the record, from 1, strictly increasing
 * @param id the same for the same event whenever it is told again
 * @param at wall time
 * @param tank tank, line or site that it speaks of
 * @param kind {@code alarm}, {@code order}, {@code proposal}, {@code entry}, {@code mode}, {@code
 *     bath}, {@code finding} or {@code system}
 * @param text for people
 * @param data further facts by name, in words
 */
public record EventPayload(
    long sequence,
    String id,
    Instant at,
    String tank,
    String kind,
    String text,
    Map<String, String> data) {

  /** Copies the map, in the order of the names. */
  public EventPayload {
    data = Collections.unmodifiableMap(new TreeMap<>(data));
  }
}
