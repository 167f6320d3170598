package org.bathwarden.dosing;

import java.util.Optional;

/**
 * Something that images show, and whether two successive ones with a moved {@code plc_heartbeat}
 * showed it alike: only then is anything concluded from it (line contract, controller rule 10).
 *
 * @param shown what the last image that was read showed
 * @param since {@code plc_heartbeat} of the first image that showed it
 * @param agreed whether a later image with a moved {@code plc_heartbeat} showed it too
 */
public record Agreement<T>(Optional<T> shown, int since, boolean agreed) {

  /** Nothing was shown yet. */
  static <T> Agreement<T> none() {
    return new Agreement<>(Optional.empty(), 0, false);
  }

  /** With what one more image shows. */
  Agreement<T> seeing(T now, int plcHeartbeat) {
    boolean alike = shown.isPresent() && shown.get().equals(now);
    return new Agreement<>(
        Optional.of(now), alike ? since : plcHeartbeat, alike && (agreed || since != plcHeartbeat));
  }

  /** What two images agreed on. */
  Optional<T> concluded() {
    return agreed ? shown : Optional.empty();
  }
}
