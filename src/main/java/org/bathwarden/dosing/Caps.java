package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.bathwarden.tank.Product;

/** What the caps leave at one moment. */
record Caps(DosingLimits limits, TitrationFacts titration, Ledger ledger, Instant now) {

  private static final Duration HOUR = Duration.ofHours(1);
  private static final Duration SHIFT = Duration.ofHours(8);

  /**
   * The cap since the last accepted titration, L: the fixed one, and for concentrate no more than
   * expected loss + titrated deficit + 0.5 H.
   */
  double sinceTitrationCapL(Product product) {
    double fixed = limits.of(product).sinceTitrationL();
    if (product != Product.CONCENTRATE) {
      return fixed;
    }
    double balance =
        Math.max(0, titration.expectedLossL())
            + Math.max(0, titration.deficitL())
            + 0.5 * limits.headroomL();
    return Math.min(fixed, balance);
  }

  /** Whether the hourly cap leaves no portion worth metering. */
  boolean hourUsed(Product product) {
    return usedUp(product, limits.of(product).perHourL(), ledger.withinL(product, HOUR, now));
  }

  /** The same for the 8 h cap, or the fixed one since the titration. */
  boolean longUsed(Product product) {
    ProductLimits of = limits.of(product);
    return usedUp(product, of.per8hL(), ledger.withinL(product, SHIFT, now))
        || usedUp(product, of.sinceTitrationL(), ledger.sinceTitrationL(product));
  }

  private boolean usedUp(Product product, double capL, double usedL) {
    return capL - usedL < limits.of(product).smallestPortionL();
  }

  /** What is left of {@code product}, L, if only {@code share} of each cap counts. */
  Left left(Product product, double share) {
    ProductLimits of = limits.of(product);
    Left hour = new Left(share * of.perHourL() - ledger.withinL(product, HOUR, now), "hourly cap");
    Left shift = new Left(share * of.per8hL() - ledger.withinL(product, SHIFT, now), "8 h cap");
    Left since =
        new Left(
            share * sinceTitrationCapL(product) - ledger.sinceTitrationL(product),
            "cap since the last accepted titration");
    return hour.smaller(shift).smaller(since);
  }

  /** When the hour and the shift have room again for {@code litres}, if time alone brings it. */
  Optional<Instant> roomAt(Product product, double share, double litres) {
    ProductLimits of = limits.of(product);
    Optional<Instant> hour = ledger.roomAt(product, HOUR, share * of.perHourL(), litres, now);
    Optional<Instant> shift = ledger.roomAt(product, SHIFT, share * of.per8hL(), litres, now);
    return shift.isPresent() && hour.isPresent() && hour.get().isAfter(shift.get())
        ? hour
        : shift.or(() -> hour);
  }

  /**
   * A volume that is left, and by what.
   *
   * @param litres L, may be negative
   * @param by what limits it
   */
  record Left(double litres, String by) {
    Left smaller(Left other) {
      return other.litres < litres ? other : this;
    }
  }
}
