package org.bathwarden.simulator.policy;

import org.bathwarden.simulator.physics.Truth;

/**
 * How well a bath was kept, by what is really in it. Fed once a second. One thread.
 *
 * <p>In band is within 10 % of target. An overdose is a time above the band that begins while
 * concentrate that came in within the last half hour may be its cause; above the band by
 * evaporation alone is out of band, but no overdose.
 */
public final class Score {

  /** Half width of the band, as a share of the target. */
  public static final double BAND = 0.10;

  private static final long CAUSED_WITHIN_S = 1800;

  private final double targetPct;
  private long seconds;
  private long inBand;
  private double absolute;
  private double worst;
  private int overdoses;
  private boolean above;
  private double concentrateMl;
  private long dosedAtS = Long.MIN_VALUE / 2;
  private double firstMl = Double.NaN;
  private double firstHeldL;
  private double heldL;

  /** A bath that should be at {@code targetPct}. */
  public Score(double targetPct) {
    this.targetPct = targetPct;
  }

  /** One second is over. */
  public void second(Truth truth) {
    if (Double.isNaN(firstMl)) {
      firstMl = truth.concentrateInMl();
      concentrateMl = firstMl;
      firstHeldL = heldL(truth);
    }
    heldL = heldL(truth);
    seconds++;
    if (truth.concentrateInMl() > concentrateMl) {
      dosedAtS = seconds;
      concentrateMl = truth.concentrateInMl();
    }
    double off = truth.concentrationPct() / targetPct - 1;
    absolute += Math.abs(off);
    worst = Math.abs(off) > Math.abs(worst) ? off : worst;
    inBand += Math.abs(off) <= BAND ? 1 : 0;
    boolean nowAbove = off > BAND;
    if (nowAbove && !above && seconds - dosedAtS <= CAUSED_WITHIN_S) {
      overdoses++;
    }
    above = nowAbove;
  }

  /** Share of the time in band, %. */
  public double inBandPct() {
    return 100.0 * inBand / seconds;
  }

  /** Mean distance from the target, % of target. */
  public double meanPct() {
    return 100 * absolute / seconds;
  }

  /** Largest distance from the target, with its sign, % of target. */
  public double worstPct() {
    return 100 * worst;
  }

  /** Times above the band that a dose brought about. */
  public int overdoses() {
    return overdoses;
  }

  /**
   * Concentrate used, L: what flowed or was poured in, less what the bath holds more at the end
   * than at the start.
   */
  public double concentrateL() {
    return (concentrateMl - firstMl) / 1000 - (heldL - firstHeldL);
  }

  private static double heldL(Truth truth) {
    return truth.concentrationPct() * truth.volumeAt20L() / 100;
  }
}
