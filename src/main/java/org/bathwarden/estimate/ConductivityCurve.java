package org.bathwarden.estimate;

import org.bathwarden.tank.ConductivityGrid;

/**
 * Conductivity of the fresh product as a smooth curve through measured solutions. With r the ratio
 * of the concentration to the target, {@code ln κ = level + slope·ln r + bend·(ln r)² + ln θ(T)},
 * and θ linear in temperature: the concave form that Kohlrausch's law gives over the range of a
 * bath. Each measured solution is off by a percent or two, and an interpolation would follow these
 * errors in its slope; the fit shares them out and says what doubt remains.
 *
 * @param targetPct concentration at which r is 1, %
 * @param setpointC temperature at which θ is 1, °C
 * @param level ln of the conductivity (mS/cm) there
 * @param slope d ln κ / d ln C there
 * @param bend half the second derivative
 * @param alphaPerK temperature coefficient referred to 25 °C, 1/K
 * @param levelU standard uncertainty of {@code level}
 * @param slopeU standard uncertainty of {@code slope}
 * @param alphaU standard uncertainty of {@code alphaPerK}
 * @param lowPct lowest concentration measured, %; below it the curve is not used
 * @param highPct highest concentration measured, %
 * @param lowC lowest temperature measured, °C
 * @param highC highest temperature measured, °C
 */
public record ConductivityCurve(
    double targetPct,
    double setpointC,
    double level,
    double slope,
    double bend,
    double alphaPerK,
    double levelU,
    double slopeU,
    double alphaU,
    double lowPct,
    double highPct,
    double lowC,
    double highC) {

  private static final double SOLUTION_U = 0.015;
  private static final double REFERENCE_C = 25;

  /** How far beyond the measured temperatures the curve still serves, K. */
  private static final double MARGIN_K = 4;

  /** What is believed of (level, slope, bend, alpha) without any measured solution. */
  private static final double[] PRIOR = {0, 0.88, -0.05, 0.019};

  private static final double[] PRIOR_U = {0.7, 0.07, 0.06, 0.0015};

  /**
   * Fits the measured solutions by least squares against weak prior knowledge (strong electrolytes:
   * slope 0.8 to 1; temperature coefficient 1.7 to 2.1 %/K). Points that are not finite and
   * positive are left out; without any the curve is only believed to a factor of two.
   *
   * @param grid the measured solutions
   * @param targetPct concentration at which the curve is centred, %
   * @param setpointC temperature at which it is centred, °C
   */
  public static ConductivityCurve fit(ConductivityGrid grid, double targetPct, double setpointC) {
    double[] theta = PRIOR.clone();
    // Common practice: near 7 mS/cm for each percent of a builder concentrate in a hot bath.
    theta[0] = Math.log(7 * targetPct);
    double[] centre = theta.clone();
    Gaussian fitted = new Gaussian(4);
    for (int round = 0; round < 4; round++) {
      fitted = new Gaussian(4);
      for (int i = 0; i < 4; i++) {
        fitted.set(i, centre[i], PRIOR_U[i] * PRIOR_U[i]);
      }
      for (ConductivityGrid.Point point : grid.points()) {
        take(fitted, theta, point, targetPct, setpointC);
      }
      theta = fitted.x.clone();
    }
    double[] range = range(grid);
    return new ConductivityCurve(
        targetPct,
        setpointC,
        theta[0],
        theta[1],
        theta[2],
        theta[3],
        Math.sqrt(fitted.variance(0)),
        Math.sqrt(fitted.variance(1)),
        Math.sqrt(fitted.variance(3)),
        range[0],
        range[1],
        range[2],
        range[3]);
  }

  private static boolean usable(ConductivityGrid.Point point) {
    return point.concentrationPct() > 0
        && point.conductivityMsCm() > 0
        && Double.isFinite(point.concentrationPct())
        && Double.isFinite(point.conductivityMsCm())
        && point.temperatureC() >= 0
        && point.temperatureC() <= 100;
  }

  private static void take(
      Gaussian fitted,
      double[] theta,
      ConductivityGrid.Point point,
      double targetPct,
      double setC) {
    if (!usable(point)) {
      return;
    }
    double lnR = Math.log(point.concentrationPct() / targetPct);
    double t = point.temperatureC() - REFERENCE_C;
    double s = setC - REFERENCE_C;
    double alpha = theta[3];
    double slopeOfAlpha = t / (1 + alpha * t) - s / (1 + alpha * s);
    double lnTheta = Math.log((1 + alpha * t) / (1 + alpha * s));
    double[] h = {1, lnR, lnR * lnR, slopeOfAlpha};
    double predicted =
        fitted.x[0]
            + fitted.x[1] * lnR
            + fitted.x[2] * lnR * lnR
            + lnTheta
            + slopeOfAlpha * (fitted.x[3] - alpha);
    fitted.update(h, Math.log(point.conductivityMsCm()) - predicted, SOLUTION_U * SOLUTION_U);
  }

  private static double[] range(ConductivityGrid grid) {
    double[] range = {
      Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY,
      Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY
    };
    for (ConductivityGrid.Point point : grid.points()) {
      if (usable(point)) {
        range[0] = Math.min(range[0], point.concentrationPct());
        range[1] = Math.max(range[1], point.concentrationPct());
        range[2] = Math.min(range[2], point.temperatureC());
        range[3] = Math.max(range[3], point.temperatureC());
      }
    }
    return range[0] <= range[1] ? range : new double[] {0, Double.MAX_VALUE, 0, 100};
  }

  /** Whether the measured solutions say something about this state; NaN is outside. */
  public boolean covers(double concentrationPct, double temperatureC) {
    return concentrationPct >= lowPct
        && concentrationPct <= highPct
        && temperatureC >= lowC - MARGIN_K
        && temperatureC <= highC + MARGIN_K;
  }

  /** θ(T): conductivity at {@code temperatureC} against that at the setpoint. */
  double temperatureFactor(double temperatureC) {
    return (1 + alphaPerK * (temperatureC - REFERENCE_C))
        / (1 + alphaPerK * (setpointC - REFERENCE_C));
  }

  /** d ln θ / d alpha. */
  double temperatureSlope(double temperatureC) {
    double t = temperatureC - REFERENCE_C;
    double s = setpointC - REFERENCE_C;
    return t / (1 + alphaPerK * t) - s / (1 + alphaPerK * s);
  }

  /** ln r: of the concentration against the target. */
  double lnRatio(double concentrationPct) {
    return Math.log(concentrationPct / targetPct);
  }

  /** ln of the conductivity (mS/cm) of the fresh product at the setpoint. */
  double lnAtSetpoint(double lnRatio) {
    return level + (slope + bend * lnRatio) * lnRatio;
  }

  /** Conductivity of the fresh product at the setpoint, mS/cm. */
  double atSetpoint(double concentrationPct) {
    return Math.exp(lnAtSetpoint(lnRatio(concentrationPct)));
  }

  /** d ln κ / d ln C. */
  double slopeAt(double lnRatio) {
    return slope + 2 * bend * lnRatio;
  }

  /** Conductivity of the fresh product, mS/cm; the arguments must be finite and positive. */
  public double conductivityMsCm(double concentrationPct, double temperatureC) {
    return atSetpoint(concentrationPct) * temperatureFactor(temperatureC);
  }
}
