package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;

/**
 * Means of what a bath shows while it mixes, over the last two minutes of the mixing. Plain data.
 *
 * @param from since when circulation has run, steady clock; {@link Instant#MAX} if it does not
 * @param levels how many levels are in the mean
 * @param level20L their mean, L at 20 °C
 * @param strengths how many readings of the probe are
 * @param pct mean of the fresh solution that conducts like the bath, %
 */
public record Mixed(Instant from, int levels, double level20L, int strengths, double pct) {

  /** It does not mix yet. */
  public static final Mixed NOT = new Mixed(Instant.MAX, 0, Double.NaN, 0, Double.NaN);

  private static final Duration MEAN_OVER = Duration.ofMinutes(2);

  /**
   * After one pass more.
   *
   * @param circulating whether circulation runs; without it the mixing begins anew
   * @param levelNowL level, L at 20 °C; NaN if unknown
   * @param pctNow by the probe, %; NaN if it tells nothing
   * @param wait how long it has to mix
   */
  Mixed after(boolean circulating, double levelNowL, double pctNow, Duration wait, Instant steady) {
    if (!circulating) {
      return NOT;
    }
    Instant since = from.equals(Instant.MAX) ? steady : from;
    if (steady.isBefore(since.plus(wait).minus(MEAN_OVER))) {
      return new Mixed(since, 0, Double.NaN, 0, Double.NaN);
    }
    boolean level = Double.isFinite(levelNowL);
    boolean strength = Double.isFinite(pctNow);
    return new Mixed(
        since,
        levels + (level ? 1 : 0),
        level ? mean(level20L, levels, levelNowL) : level20L,
        strengths + (strength ? 1 : 0),
        strength ? mean(pct, strengths, pctNow) : pct);
  }

  private static double mean(double mean, int count, double value) {
    return count == 0 ? value : mean + (value - mean) / (count + 1);
  }

  boolean over(Duration wait, Instant steady) {
    return !from.equals(Instant.MAX) && !steady.isBefore(from.plus(wait));
  }
}
