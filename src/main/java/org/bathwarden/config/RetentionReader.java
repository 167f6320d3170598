package org.bathwarden.config;

import java.time.Duration;
import java.util.List;
import java.util.function.Predicate;
import org.bathwarden.record.Retention;

/** Reads how long the record keeps what. */
final class RetentionReader {

  private RetentionReader() {}

  static Retention read(Section record, Predicate<Section> sound, List<Problem> problems) {
    if (!sound.test(record)) {
      return Retention.DEFAULT;
    }
    Retention plain = Retention.DEFAULT;
    Duration full = record.duration("keep_full", plain.full());
    Duration thinned = record.duration("keep_thinned", plain.thinned());
    if (full.compareTo(Retention.FULL_MIN) < 0) {
      problems.add(
          record.error(
              "keep_full",
              "must be at least 48h: the estimator looks back so far when an entry comes late"));
    }
    if (thinned.compareTo(full) < 0) {
      problems.add(record.error("keep_thinned", "must not be shorter than keep_full"));
    }
    return new Retention(
        full,
        thinned,
        record.duration("keep_passes", plain.passes()),
        megabytes(record, "limit_mb", plain.limitBytes()),
        megabytes(record, "disk_reserve_mb", plain.reserveBytes()));
  }

  private static long megabytes(Section record, String key, long bytes) {
    return (long) record.whole(key, (int) (bytes >> 20)) << 20;
  }
}
