package org.bathwarden.simulator.physics;

/** Properties of pure liquid water, 0 to 100 °C. */
final class Water {

  private static final double CRITICAL_K = 647.096;
  private static final double CRITICAL_KPA = 22064.0;

  /** Heat capacity of a litre measured at 20 °C, kJ/(L K). */
  static final double HEAT_KJ_PER_L_K = 4.18;

  private static final double AT_20 = density(20.0);

  private Water() {}

  /**
   * Density in kg/m³ at {@code temperatureC}, at atmospheric pressure. Kell, J. Chem. Eng. Data
   * 20:97 (1975), equation 16; within 0.0125 kg/m³ of IAPWS-IF97.
   */
  static double density(double temperatureC) {
    double t = temperatureC;
    double top =
        999.83952
            + t
                * (16.945176
                    + t
                        * (-7.9870401e-3
                            + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))));
    return top / (1.0 + 16.879850e-3 * t);
  }

  /** How much larger a volume of water is at {@code temperatureC} than it was at 20 °C. */
  static double expansion(double temperatureC) {
    return AT_20 / density(temperatureC);
  }

  /**
   * Saturation pressure in kPa over flat liquid water. Wagner and Pruss, J. Phys. Chem. Ref. Data
   * 22:783 (1993), the IAPWS release SR1-86.
   */
  static double saturationKPa(double temperatureC) {
    double kelvin = temperatureC + 273.15;
    double tau = 1.0 - kelvin / CRITICAL_K;
    double root = Math.sqrt(tau);
    double tau3 = tau * tau * tau;
    double sum =
        -7.85951783 * tau
            + 1.84408259 * tau * root
            - 11.7866497 * tau3
            + 22.6807411 * tau3 * root
            - 15.9618719 * tau3 * tau
            + 1.80122502 * tau3 * tau3 * tau * root;
    return CRITICAL_KPA * Math.exp(CRITICAL_K / kelvin * sum);
  }

  /** Latent heat of evaporation in kJ/kg: straight line through IAPWS-IF97 at 20 and 80 °C. */
  static double latentKJPerKg(double temperatureC) {
    return 2453.55 - 2.4247 * (temperatureC - 20.0);
  }
}
