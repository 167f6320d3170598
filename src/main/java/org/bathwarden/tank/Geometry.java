package org.bathwarden.tank;

/**
 * Volumes of a tank, all of hot liquid in L.
 *
 * @param levelKind what the level transmitter measures
 * @param workingL level at which the tank works, and to which water is made up
 * @param lowLevelL low-level point, held with water when warming or stood down
 * @param minimumL minimum operating level; below it nothing is dosed automatically
 * @param heaterGuardL level below which heaters run dry
 * @param maximumL highest allowed volume, V_max
 * @param loadDisplacementL liquid that a load displaces
 * @param foamAllowanceL volume kept free for foam
 * @param holdupL liquid in pipes, nozzles and filter housings while the pump runs, which comes back
 *     into the tank when it stops; levels mean the tank while it runs
 * @param surfaceM2 open surface in m²
 * @param circulationLPerMin circulation flow in L/min; 0 without a pump
 */
public record Geometry(
    LevelKind levelKind,
    double workingL,
    double lowLevelL,
    double minimumL,
    double heaterGuardL,
    double maximumL,
    double loadDisplacementL,
    double foamAllowanceL,
    double holdupL,
    double surfaceM2,
    double circulationLPerMin) {

  /** Highest level, L, at which a load, foam and what comes back from the pipes still find room. */
  public double highestL() {
    return maximumL - loadDisplacementL - foamAllowanceL - holdupL;
  }
}
