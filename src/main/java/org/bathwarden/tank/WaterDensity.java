package org.bathwarden.tank;

/**
 * Density of liquid water at atmospheric pressure, which stands for that of a dilute bath where
 * only the ratio between two temperatures counts.
 */
public final class WaterDensity {

  private static final double AT_20_C = kgPerM3At(20);

  private WaterDensity() {}

  /**
   * Density in kg/m³. Source: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, whose IPTS-68 degrees
   * are 1.00024 times those of ITS-90.
   *
   * @param temperatureC °C; beyond 0 to 100 °C the nearer end is taken, NaN gives NaN
   */
  public static double kgPerM3(double temperatureC) {
    return kgPerM3At(Math.max(0, Math.min(100, temperatureC)));
  }

  /**
   * Hot volume of what fills one litre at 20 °C: ρ(20 °C)/ρ(T).
   *
   * @param temperatureC °C; beyond 0 to 100 °C the nearer end is taken, NaN gives NaN
   */
  public static double expansionFrom20C(double temperatureC) {
    return AT_20_C / kgPerM3(temperatureC);
  }

  private static double kgPerM3At(double temperatureC) {
    double t = 1.00024 * temperatureC;
    double upper =
        999.83952
            + t
                * (16.945176
                    + t
                        * (-7.9870401e-3
                            + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))));
    return upper / (1 + 16.879850e-3 * t);
  }
}
