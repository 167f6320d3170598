package org.bathwarden.alarm;

/**
 * A limit with a deadband: once passed, the value must come back by the deadband before the
 * condition is over, so that a noisy signal at the limit does not come and go.
 *
 * @param limit the limit, in the unit of the value
 * @param deadband how far inside the limit the value must return, same unit, not negative
 * @param high true if values above the limit are abnormal, false if those below are
 */
public record Limit(double limit, double deadband, boolean high) {

  /** Abnormal above {@code limit}. */
  public static Limit above(double limit, double deadband) {
    return new Limit(limit, deadband, true);
  }

  /** Abnormal below {@code limit}. */
  public static Limit below(double limit, double deadband) {
    return new Limit(limit, deadband, false);
  }

  /**
   * Judges a value.
   *
   * @param value the value; NaN or infinite gives {@link Presence#UNKNOWN}
   * @param wasActive whether the alarm stood before, see {@link AlarmState#active}
   */
  public Presence judge(double value, boolean wasActive) {
    if (!Double.isFinite(value)) {
      return Presence.UNKNOWN;
    }
    double beyond = high ? value - limit : limit - value;
    boolean abnormal = wasActive ? beyond > -deadband : beyond > 0;
    return abnormal ? Presence.ACTIVE : Presence.NORMAL;
  }
}
