package org.bathwarden.simulator.physics;

/**
 * What a litre of neat concentrate brings.
 *
 * @param hydroxideMolL sodium hydroxide, mol/L
 * @param carbonateMolL sodium carbonate, mol/L
 * @param silicateMolL sodium metasilicate, mol/L
 * @param saltMolL neutral sodium salts, mol/L
 * @param surfactantGL surfactant, g/L
 */
public record Product(
    double hydroxideMolL,
    double carbonateMolL,
    double silicateMolL,
    double saltMolL,
    double surfactantGL) {

  /** Checks the ranges. */
  public Product {
    Check.within("hydroxide_mol_l", hydroxideMolL, 0, 15);
    Check.within("carbonate_mol_l", carbonateMolL, 0, 3);
    Check.within("silicate_mol_l", silicateMolL, 0, 5);
    Check.within("salt_mol_l", saltMolL, 0, 5);
    Check.within("surfactant_g_l", surfactantGL, 0, 500);
    if (hydroxideMolL + carbonateMolL + silicateMolL <= 0) {
      throw new IllegalArgumentException(
          "a product needs some alkali: hydroxide, carbonate or silicate");
    }
  }

  /** Total alkalinity, eq/L. */
  double totalEqL() {
    return hydroxideMolL + 2.0 * carbonateMolL + 2.0 * silicateMolL;
  }

  /** Alkalinity by {@code endPoint}, eq/L. */
  double eqL(EndPoint endPoint) {
    return endPoint == EndPoint.TOTAL ? totalEqL() : totalEqL() - carbonateMolL;
  }
}
