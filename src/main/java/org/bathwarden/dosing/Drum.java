package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;

/**
 * The concentrate drum in use.
 *
 * @param known whether product, lot and priming were entered since it last ran out
 * @param lot its lot, if known
 * @param firstPortion whether nothing of this lot was dosed yet
 * @param litresLeft contents by book, L; NaN if unknown
 * @param outSince steady time since which the PLC reports no concentrate, if it does
 */
public record Drum(
    boolean known,
    Optional<String> lot,
    boolean firstPortion,
    double litresLeft,
    Optional<Instant> outSince) {

  /** The drum found at the first start: taken as the sheet's product, contents unknown. */
  public static final Drum FOUND =
      new Drum(true, Optional.empty(), false, Double.NaN, Optional.empty());

  /** A contact that is open for so long means an empty drum; judgement. */
  private static final Duration EMPTY_AFTER = Duration.ofSeconds(60);

  /** A new drum; one that is not primed stays unknown. */
  static Drum changed(String lot, double litres, boolean primed) {
    return new Drum(primed, Optional.of(lot), true, litres, Optional.empty());
  }

  /** Whether it stands open, so that what comes next is not this lot. */
  boolean ranOut() {
    return !known && outSince.isPresent();
  }

  /** This drum with {@code litres} less in it. */
  Drum used(double litres) {
    return litres > 0 ? new Drum(known, lot, false, litresLeft - litres, outSince) : this;
  }

  /** This drum with {@code litres} in it that were never taken out. */
  Drum returned(double litres) {
    return new Drum(known, lot, firstPortion, litresLeft + litres, outSince);
  }

  /** This drum after a pass; once it ran out, what comes next is unknown until entered. */
  Drum seen(boolean available, Instant steady) {
    if (available) {
      return outSince.isEmpty()
          ? this
          : new Drum(known, lot, firstPortion, litresLeft, Optional.empty());
    }
    Instant since = outSince.orElse(steady);
    boolean ranOut = !steady.isBefore(since.plus(EMPTY_AFTER));
    return new Drum(known && !ranOut, lot, firstPortion, litresLeft, Optional.of(since));
  }
}
