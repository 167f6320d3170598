package org.bathwarden.simulator.physics;

/**
 * Which ions a bath holds at its temperature, from what went into it: charge balance with carbonic
 * and silicic acid, water and soap; activity coefficients by Davies.
 *
 * @param ph activity pH of the hot solution
 * @param hydroxide mol/L, as are all others
 * @param carbonate mol/L
 * @param bicarbonate mol/L
 * @param silicate singly charged, mol/L
 * @param silicate2 doubly charged, mol/L
 * @param soap mol/L
 * @param salt mol/L of NaCl equivalent
 */
record Speciation(
    double ph,
    double hydroxide,
    double carbonate,
    double bicarbonate,
    double silicate,
    double silicate2,
    double soap,
    double salt) {

  private static final double LN10 = Math.log(10.0);
  private static final int HALVINGS = 44;

  /** The ions of {@code liquor} at {@code temperatureC}. */
  static Speciation of(Liquor liquor, double temperatureC) {
    return of(
        liquor.perLitre(Liquor.ALKALINITY),
        liquor.perLitre(Liquor.CARBON),
        liquor.perLitre(Liquor.SILICA),
        liquor.perLitre(Liquor.SOAP),
        liquor.perLitre(Liquor.SALT),
        temperatureC);
  }

  /** The ions of a solution, all in mol or eq per litre at 20 °C. */
  static Speciation of(
      double alkalinity,
      double carbon,
      double silica,
      double soap,
      double salt,
      double temperatureC) {
    double kelvin = temperatureC + 273.15;
    double logK = Math.log10(kelvin);
    double strength = Math.min(1.0, Math.abs(alkalinity) + 0.5 * carbon + salt);
    double root = Math.sqrt(strength);
    double davies = -0.51 * (root / (1.0 + root) - 0.3 * Math.min(strength, 0.5));
    double one = Math.pow(10.0, davies);
    double two = Math.pow(10.0, 4.0 * davies);
    double kw = Math.pow(10.0, -pkw(kelvin, logK));
    double kc1 = Math.pow(10.0, -carbonic1(kelvin, logK)) / one;
    double kc2 = Math.pow(10.0, -carbonic2(kelvin, logK)) * one / two;
    double pks = silicic1(kelvin, logK);
    double ks1 = Math.pow(10.0, -pks) / one;
    double ks2 = Math.pow(10.0, -pks - 2.0) * one / two;

    double low = 2.0;
    double high = 15.0;
    for (int i = 0; i < HALVINGS; i++) {
      double mid = 0.5 * (low + high);
      double h = Math.exp(-mid * LN10);
      double c1 = kc1 / h;
      double c2 = c1 * kc2 / h;
      double s1 = ks1 / h;
      double s2 = s1 * ks2 / h;
      double held =
          (kw / h - h) / one
              + carbon * (c1 + 2.0 * c2) / (1.0 + c1 + c2)
              + silica * (s1 + 2.0 * s2) / (1.0 + s1 + s2)
              + soap;
      if (held < alkalinity) {
        low = mid;
      } else {
        high = mid;
      }
    }
    double ph = 0.5 * (low + high);
    double h = Math.exp(-ph * LN10);
    double c1 = kc1 / h;
    double c2 = c1 * kc2 / h;
    double s1 = ks1 / h;
    double s2 = s1 * ks2 / h;
    double allCarbon = 1.0 + c1 + c2;
    double allSilica = 1.0 + s1 + s2;
    return new Speciation(
        ph,
        kw / h / one,
        carbon * c2 / allCarbon,
        carbon * c1 / allCarbon,
        silica * s1 / allSilica,
        silica * s2 / allSilica,
        soap,
        salt);
  }

  // The four constants: Plummer and Busenberg, Geochim. Cosmochim. Acta 46:1011 (1982), and the
  // PHREEQC database of the US Geological Survey (silicic acid). The second silicic constant is
  // unsettled in the literature (11.8 to 13.2 at 25 °C); two units above the first lies at its low
  // end.

  private static double pkw(double kelvin, double logK) {
    return 283.9710
        + 0.05069842 * kelvin
        - 13323.0 / kelvin
        - 102.24447 * logK
        + 1119669.0 / (kelvin * kelvin);
  }

  private static double carbonic1(double kelvin, double logK) {
    return 356.3094
        + 0.06091964 * kelvin
        - 21834.37 / kelvin
        - 126.8339 * logK
        + 1684915.0 / (kelvin * kelvin);
  }

  private static double carbonic2(double kelvin, double logK) {
    return 107.8871
        + 0.03252849 * kelvin
        - 5151.79 / kelvin
        - 38.92561 * logK
        + 563713.9 / (kelvin * kelvin);
  }

  private static double silicic1(double kelvin, double logK) {
    return 302.3724
        + 0.050698 * kelvin
        - 15669.69 / kelvin
        - 108.18466 * logK
        + 1119669.0 / (kelvin * kelvin);
  }
}
