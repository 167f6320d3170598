package org.bathwarden.estimate;

/**
 * Cholesky root of a covariance that may be nearly singular, to divide by it. It is taken of the
 * correlations, since the states' scales differ by many powers of ten; a state that has no doubt,
 * or that the others determine, is left out: what it would get is 0.
 */
final class CovarianceRoot {

  /** Share of each variance that is added, so that a nearly singular covariance can be divided. */
  private static final double JITTER = 1e-11;

  /** What is left of a state's variance, as a share, below which the others determine it. */
  private static final double DETERMINED = 1e-9;

  private final int n;
  private final double[] scale;
  private final double[] root;

  CovarianceRoot(Gaussian of) {
    n = of.n;
    scale = new double[n];
    root = new double[n * n];
    for (int i = 0; i < n; i++) {
      scale[i] = Math.sqrt(Math.max(0, of.variance(i)));
    }
    for (int j = 0; j < n; j++) {
      for (int i = j; i < n; i++) {
        double sum = i == j ? 1 + JITTER : correlation(of, i, j);
        for (int k = 0; k < j; k++) {
          sum -= root[i * n + k] * root[j * n + k];
        }
        if (i > j) {
          root[i * n + j] = root[j * n + j] > 0 ? sum / root[j * n + j] : 0;
        } else {
          root[j * n + j] = scale[j] > 0 && sum > DETERMINED ? Math.sqrt(sum) : 0;
        }
      }
    }
  }

  private double correlation(Gaussian of, int i, int j) {
    double product = scale[i] * scale[j];
    return product > 0 ? of.p[i * n + j] / product : 0;
  }

  /** Replaces the {@code n} numbers of {@code b} from {@code at} by P⁻¹·b. */
  void divide(double[] b, int at) {
    for (int i = 0; i < n; i++) {
      double sum = quotient(b[at + i], scale[i]);
      for (int k = 0; k < i; k++) {
        sum -= root[i * n + k] * b[at + k];
      }
      b[at + i] = quotient(sum, root[i * n + i]);
    }
    for (int i = n - 1; i >= 0; i--) {
      double sum = b[at + i];
      for (int k = i + 1; k < n; k++) {
        sum -= root[k * n + i] * b[at + k];
      }
      b[at + i] = quotient(sum, root[i * n + i]);
    }
    for (int i = 0; i < n; i++) {
      b[at + i] = quotient(b[at + i], scale[i]);
    }
  }

  private static double quotient(double value, double by) {
    return by > 0 ? value / by : 0;
  }
}
