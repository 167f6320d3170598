package org.bathwarden.tank;

/**
 * The titration by drops that a sheet prescribes.
 *
 * @param pctPerDrop concentration one drop stands for, %
 * @param factorFrom where the factor comes from; decides whether the half drop is in it already
 * @param operatorDrops standard deviation of the operator's own scatter, in drops
 * @param blunderShare share of titrations that are plain wrong, 0 to 1
 */
public record TitrationKit(
    double pctPerDrop, FactorFrom factorFrom, double operatorDrops, double blunderShare) {

  /** Where a drop factor comes from. */
  public enum FactorFrom {
    /** Computed from the titrant's normality: drops × factor reads half a drop high on average. */
    NORMALITY,
    /** Counted on a fresh bath of known strength: holds the half drop already. */
    COUNTED
  }
}
