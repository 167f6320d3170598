package org.bathwarden.tank;

/**
 * Control band of the concentration, % by volume.
 *
 * @param targetPct what a top-up aims at
 * @param lowPct low limit, below the target
 * @param highPct high limit, above the target
 */
public record Band(double targetPct, double lowPct, double highPct) {

  /** Whether {@code concentrationPct} lies within the limits, which belong to the band. */
  public boolean contains(double concentrationPct) {
    return concentrationPct >= lowPct && concentrationPct <= highPct;
  }

  /** Distance between the limits, %. */
  public double widthPct() {
    return highPct - lowPct;
  }
}
