package org.bathwarden.dosing;

import java.util.Optional;

/**
 * The concentrate drum in use.
 *
 * @param known whether product and lot were entered since it was last changed or ran out, the
 *     product is the sheet's, and the line is primed
 * @param lot its lot, if known
 * @param firstPortion whether nothing of this lot was dosed yet
 * @param litresLeft contents by book, L; NaN if unknown
 */
public record Drum(
    boolean known, Optional<String> lot, boolean firstPortion, double litresLeft) {

  /** The drum found at the first start: taken as the sheet's product, contents unknown. */
  public static final Drum FOUND = new Drum(true, Optional.empty(), false, Double.NaN);

  /** This drum with {@code litres} less in it. */
  Drum used(double litres) {
    return litres > 0 ? new Drum(known, lot, false, litresLeft - litres) : this;
  }

  /** This drum once it ran out or its suction was opened. */
  Drum opened() {
    return new Drum(false, Optional.empty(), false, Double.NaN);
  }
}
