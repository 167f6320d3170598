package org.bathwarden.estimate;

import java.time.Instant;

/**
 * Something that the evidence says and nobody has told.
 *
 * @param number counts up within one tank's history
 * @param time when the program could say so
 * @param since when it began, as far as it can be told
 * @param kind its kind
 * @param subject what it is about: a probe, a product, a totalizer or the id of a titration's entry
 * @param detail in words, beginning with the subject where that is a probe
 * @param size how large, in the unit that {@code detail} names; positive
 * @param evidence how many standard deviations of its ordinary scatter it is large
 * @param withdrawn whether later evidence has taken it back
 */
public record Finding(
    long number,
    Instant time,
    Instant since,
    FindingKind kind,
    String subject,
    String detail,
    double size,
    double evidence,
    boolean withdrawn) {

  Finding numbered(long as, Instant saidAt) {
    return new Finding(as, saidAt, since, kind, subject, detail, size, evidence, false);
  }

  Finding takenBack() {
    return new Finding(number, time, since, kind, subject, detail, size, evidence, true);
  }
}
