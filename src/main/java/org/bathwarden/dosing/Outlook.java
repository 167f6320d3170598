package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.Set;

/**
 * How long the tank can dose by itself, and what a titration would be worth. All times on the
 * steady clock. It never makes a titration less due than the site's rules do.
 *
 * @param madeAt when this was worked out
 * @param step where the want of a titration stands
 * @param heldBy what holds concentrate now until a titration is accepted; empty if nothing does
 * @param dosesUntil until when it can dose by itself; since when it is held, if it is
 * @param because what ends it then, in words
 * @param reducedFrom from when portions and caps are reduced, if that comes first
 * @param due the titration that the site's rules ask for next; empty if the first is still missing
 * @param carriesTo until when it could dose by itself after a titration now
 * @param worthAt when a titration is worth most, never after it is due; over if that is now
 * @param widthPct width of the 95 % interval that is expected just before that one, %
 * @param widthAfterPct width after it
 * @param why one sentence for the chemist
 */
public record Outlook(
    Instant madeAt,
    Ladder step,
    Set<Cause> heldBy,
    Instant dosesUntil,
    String because,
    Optional<Instant> reducedFrom,
    Optional<TitrationDue> due,
    Instant carriesTo,
    Instant worthAt,
    double widthPct,
    double widthAfterPct,
    String why) {

  /** Times that move by less than this, or by a twentieth of the time left, have not moved. */
  private static final Duration TOLERANCE = Duration.ofMinutes(10);

  private static final double TOLERANCE_SHARE = 0.05;

  /** Widths that change by a smaller share have not changed. */
  private static final double WIDTH_SHARE = 0.1;

  /** Copies the set. */
  public Outlook {
    heldBy = Set.copyOf(heldBy);
  }

  /** What was said {@code before}, as of now, unless this differs from it in what matters. */
  Outlook unlessAlike(Outlook before) {
    boolean alike =
        step == before.step
            && heldBy.equals(before.heldBy)
            && because.equals(before.because)
            && due.equals(before.due)
            && reducedFrom.isPresent() == before.reducedFrom.isPresent()
            && near(reducedFrom.orElse(madeAt), before.reducedFrom.orElse(madeAt))
            && near(dosesUntil, before.dosesUntil)
            && near(carriesTo, before.carriesTo)
            && near(worthAt, before.worthAt)
            && alike(widthPct, before.widthPct)
            && alike(widthAfterPct, before.widthAfterPct);
    return alike
        ? new Outlook(
            madeAt,
            step,
            heldBy,
            before.dosesUntil,
            because,
            before.reducedFrom,
            due,
            before.carriesTo,
            before.worthAt,
            before.widthPct,
            before.widthAfterPct,
            before.why)
        : this;
  }

  private boolean near(Instant a, Instant b) {
    Instant soon = madeAt.plus(TOLERANCE);
    if (!a.isAfter(soon) && !b.isAfter(soon)) {
      return true;
    }
    double left = Math.abs(Duration.between(madeAt, a).toMillis());
    double apart = Math.abs(Duration.between(a, b).toMillis());
    return apart <= Math.max(TOLERANCE.toMillis(), TOLERANCE_SHARE * left);
  }

  private static boolean alike(double a, double b) {
    return Math.abs(a - b) <= WIDTH_SHARE * Math.abs(b);
  }
}
