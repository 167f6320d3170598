package org.bathwarden.simulator.physics;

/**
 * Conductivity of a bath from its ions: McCleskey, Nordstrom and Ryan, Geochimica et Cosmochimica
 * Acta 77:369 (2012), λ(t, I) = λ0(t) − A(t) √I / (1 + B √I), with the oil by Bruggeman's (1 −
 * φ)^1.5. Silicate and soap ions are not in that work; they are scaled from bicarbonate and
 * carbonate by their size (our own figures).
 */
final class Conductivity {

  private static final double SILICATE_OF_BICARBONATE = 0.8;
  private static final double SILICATE2_OF_CARBONATE = 0.7;
  private static final double SOAP_OF_BICARBONATE = 0.5;

  private Conductivity() {}

  /**
   * Conductivity in mS/cm.
   *
   * @param ions what is dissolved, the work counts mol per kg of water; mol per litre at 20 °C is
   *     within 0.5 % of it in a bath
   * @param temperatureC 10 to 95 °C
   * @param oilShare volume share of emulsified oil, 0 to 1
   */
  static double msCm(Speciation ions, double temperatureC, double oilShare) {
    double single =
        ions.hydroxide() + ions.bicarbonate() + ions.silicate() + ions.soap() + ions.salt();
    double twice = ions.carbonate() + ions.silicate2();
    double sodium = single + 2.0 * twice;
    double root = Math.sqrt(0.5 * (single + sodium) + 2.0 * twice);
    double t = temperatureC;
    double bicarbonate = bicarbonate(t, root);
    double carbonate = carbonate(t, root);
    double sum =
        sodium * sodium(t, root)
            + ions.hydroxide() * hydroxide(t, root)
            + ions.salt() * chloride(t, root)
            + ions.carbonate() * carbonate
            + ions.silicate2() * SILICATE2_OF_CARBONATE * carbonate
            + bicarbonate
                * (ions.bicarbonate()
                    + SILICATE_OF_BICARBONATE * ions.silicate()
                    + SOAP_OF_BICARBONATE * ions.soap());
    double clear = 1.0 - oilShare;
    return sum * clear * Math.sqrt(clear);
  }

  private static double sodium(double t, double root) {
    return 26.23
        + t * (0.877 + t * 0.003763)
        - (32.07 + t * (1.141 + t * 0.00027)) * root / (1.0 + 1.7 * root);
  }

  private static double hydroxide(double t, double root) {
    return 121.3
        + t * (2.925 + t * 0.003396)
        - (35.9 + t * (0.1086 + t * 0.00933)) * root / (1.0 + 0.01 * root);
  }

  private static double chloride(double t, double root) {
    return 40.99
        + t * (1.337 + t * 0.003817)
        - (22.01 + t * (0.9469 + t * 0.00613)) * root / (1.0 + 1.5 * root);
  }

  private static double carbonate(double t, double root) {
    return 64.03
        + t * (2.998 - t * 0.000326)
        - (120.2 + t * (5.542 - t * 0.00181)) * root / (1.0 + 2.3 * root);
  }

  private static double bicarbonate(double t, double root) {
    return 21.14
        + t * (0.9048 + t * 0.000614)
        - (10.97 + t * (0.8957 - t * 0.00503)) * root / (1.0 + 0.1 * root);
  }
}
