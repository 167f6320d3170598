package org.bathwarden.record;

import java.time.Duration;

/**
 * How long what is kept. Quality records – entries, titrations, checks, orders, alarms, settings –
 * are kept for good, whatever stands here.
 *
 * @param full images and estimates are kept as they came, at most 10 s apart, for so long
 * @param thinned and one in five minutes for so long
 * @param passes whole inputs of passes that decided something
 * @param limitBytes the store grows no further with what may be thinned; where quality records
 *     alone pass it an alarm is raised
 * @param reserveBytes with less than this free on its disk the same alarm is raised
 */
public record Retention(
    Duration full, Duration thinned, Duration passes, long limitBytes, long reserveBytes) {

  /** Least that is kept in full: the estimator's history, which a start may run through again. */
  public static final Duration FULL_MIN = Duration.ofHours(48);

  /** What holds where nothing else is configured; judgement, no source. */
  public static final Retention DEFAULT =
      new Retention(
          Duration.ofDays(3), Duration.ofDays(400), Duration.ofDays(30), 4000L << 20, 500L << 20);
}
