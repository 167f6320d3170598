package org.bathwarden.simulator.physics;

/** What the supplies and the parts bring into a bath. */
final class Mixture {

  private Mixture() {}

  /** {@code litres} of {@code product} at {@code strength} times its data sheet. */
  static Liquor concentrate(Product product, double strength, double litres) {
    Liquor liquor = new Liquor();
    double amount = strength * litres;
    liquor.addVolume(litres);
    liquor.add(Liquor.ALKALINITY, amount * product.totalEqL());
    liquor.add(Liquor.CARBON, amount * product.carbonateMolL());
    liquor.add(Liquor.SILICA, amount * product.silicateMolL());
    liquor.add(Liquor.SALT, amount * product.saltMolL());
    liquor.add(Liquor.SURFACTANT, amount * product.surfactantGL());
    return liquor;
  }

  /** Another product in the same drum: {@code alkali} times the alkali, and salt in its place. */
  static Liquor wrongProduct(Product product, double alkali, double litres) {
    Liquor liquor = new Liquor();
    liquor.addVolume(litres);
    liquor.add(Liquor.ALKALINITY, alkali * litres * product.totalEqL());
    liquor.add(Liquor.SALT, litres * (1.0 + product.saltMolL()));
    return liquor;
  }

  /** {@code litres} of make-up water; its hardness falls out as carbonate as it meets the bath. */
  static Liquor water(MakeUpWater water, double litres) {
    Liquor liquor = new Liquor();
    liquor.addVolume(litres);
    double mmol = litres / 1000.0;
    liquor.add(Liquor.ALKALINITY, mmol * (water.alkalinityMmolL() - 2.0 * water.hardnessMmolL()));
    liquor.add(Liquor.CARBON, mmol * (water.alkalinityMmolL() - water.hardnessMmolL()));
    liquor.add(Liquor.SALT, mmol * water.saltMmolL());
    return liquor;
  }

  /** What a load with {@code profile} carries in. */
  static Liquor dragIn(LoadProfile profile) {
    LoadProfile.Soil soil = profile.soil();
    Liquor liquor = new Liquor();
    liquor.addVolume(profile.dragInL());
    liquor.add(Liquor.ALKALINITY, -soil.acidMmol() / 1000.0);
    liquor.add(Liquor.SOAP, soil.fattyMmol() / 1000.0);
    liquor.add(Liquor.SALT, (soil.saltMmol() + soil.acidMmol()) / 1000.0);
    liquor.add(Liquor.OIL, soil.oilMl() / 1000.0);
    return liquor;
  }
}
