package org.bathwarden.tank;

import java.util.Set;

/**
 * Everything about one tank that does not change from pass to pass.
 *
 * @param id its name
 * @param number its number in the line contract, from 1
 * @param geometry volumes and surface
 * @param band target and limits of the concentration
 * @param metals metals washed; the strictest limit of them counts
 * @param chemistry product sheet
 * @param water make-up water
 * @param concentrateStrengthPct S, strength of what the pump delivers; 100 for neat
 * @param temperatureSetpointC bath temperature aimed at, °C
 * @param dragOutLPerLoad the site's own rough figure, L of bath that leaves with a load
 * @param dragInLPerLoad the same of the water or rinse that wet parts bring in, L; the level shows
 *     only the difference of both
 */
public record TankSheet(
    TankId id,
    int number,
    Geometry geometry,
    Band band,
    Set<Metal> metals,
    ChemistrySheet chemistry,
    MakeUpWater water,
    double concentrateStrengthPct,
    double temperatureSetpointC,
    double dragOutLPerLoad,
    double dragInLPerLoad) {

  /** A tank whose parts come in dry. */
  public TankSheet(
      TankId id,
      int number,
      Geometry geometry,
      Band band,
      Set<Metal> metals,
      ChemistrySheet chemistry,
      MakeUpWater water,
      double concentrateStrengthPct,
      double temperatureSetpointC,
      double dragOutLPerLoad) {
    this(
        id,
        number,
        geometry,
        band,
        metals,
        chemistry,
        water,
        concentrateStrengthPct,
        temperatureSetpointC,
        dragOutLPerLoad,
        0);
  }

  /** Copies the set. */
  public TankSheet {
    metals = Set.copyOf(metals);
  }

  /** The strictest limits of the metals washed. */
  public MetalLimits strictest() {
    MetalLimits strictest = MetalLimits.NONE;
    for (Metal metal : metals) {
      MetalLimits own = chemistry.metals().get(metal);
      if (own != null) {
        strictest = strictest.and(own);
      }
    }
    return strictest;
  }

  /** Whether a metal is washed that gives hydrogen in strong alkali. */
  public boolean washesLightMetal() {
    return metals.stream().anyMatch(Metal::light);
  }
}
