package org.bathwarden.tank;

/**
 * Density of liquid water at atmospheric pressure, which stands for that of a dilute bath where
 * only the ratio between two temperatures counts. Source: IAPWS-IF97, region 1, at 101.325 kPa.
 */
public final class WaterDensity {

  private static final double PRESSURE = 0.101325 / 16.53;

  /** Exponents I and J and coefficient n of the terms that depend on pressure. */
  private static final double[][] TERMS = {
    {1, -9, 0.28319080123804e-3},
    {1, -7, -0.60706301565874e-3},
    {1, -1, -0.18990068218419e-1},
    {1, 0, -0.32529748770505e-1},
    {1, 1, -0.21841717175414e-1},
    {1, 3, -0.52838357969930e-4},
    {2, -3, -0.47184321073267e-3},
    {2, 0, -0.30001780793026e-3},
    {2, 1, 0.47661393906987e-4},
    {2, 3, -0.44141845330846e-5},
    {2, 17, -0.72694996297594e-15},
    {3, -4, -0.31679644845054e-4},
    {3, 0, -0.28270797985312e-5},
    {3, 6, -0.85205128120103e-9},
    {4, -5, -0.22425281908000e-5},
    {4, -2, -0.65171222895601e-6},
    {4, 10, -0.14341729937924e-12},
    {5, -8, -0.40516996860117e-6},
    {8, -11, -0.12734301741641e-8},
    {8, -6, -0.17424871230634e-9},
    {21, -29, -0.68762131295531e-18},
    {23, -31, 0.14478307828521e-19},
    {29, -38, 0.26335781662795e-22},
    {30, -39, -0.11947622640071e-22},
    {31, -40, 0.18228094581404e-23},
    {32, -41, -0.93537087292458e-25},
  };

  /** Densities at 0, 1 … 101 °C; a straight line between them is within 0.003 kg/m³. */
  private static final double[] AT = new double[102];

  static {
    for (int i = 0; i < AT.length; i++) {
      AT[i] = formula(i);
    }
  }

  private WaterDensity() {}

  /**
   * Density in kg/m³.
   *
   * @param temperatureC °C; beyond 0 to 100 °C the nearer end is taken, NaN gives NaN
   */
  public static double kgPerM3(double temperatureC) {
    double t = Math.max(0, Math.min(100, temperatureC));
    int below = (int) t;
    return AT[below] + (t - below) * (AT[below + 1] - AT[below]);
  }

  /**
   * Hot volume of what fills one litre at 20 °C: ρ(20 °C)/ρ(T).
   *
   * @param temperatureC °C; beyond 0 to 100 °C the nearer end is taken, NaN gives NaN
   */
  public static double expansionFrom20C(double temperatureC) {
    return AT[20] / kgPerM3(temperatureC);
  }

  private static double formula(double temperatureC) {
    double kelvin = temperatureC + 273.15;
    double tau = 1386 / kelvin - 1.222;
    double gamma = 0;
    for (double[] term : TERMS) {
      gamma -= term[2] * term[0] * Math.pow(7.1 - PRESSURE, term[0] - 1) * Math.pow(tau, term[1]);
    }
    return 101.325 / (0.461526 * kelvin * PRESSURE * gamma);
  }
}
