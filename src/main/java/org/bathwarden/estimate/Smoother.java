package org.bathwarden.estimate;

/**
 * Goes back over a recorded run and lets what came later speak of what was before (Rauch, Tung and
 * Striebel 1965). States that were made anew within a stretch, or never had any doubt, pass nothing
 * back.
 */
final class Smoother {

  /** Share of each variance that is added, so that a nearly singular covariance can be divided. */
  private static final double JITTER = 1e-11;

  /** What is left of a state's variance, as a share, below which the others determine it. */
  private static final double DETERMINED = 1e-9;

  private final int n;
  private final double[] x;
  private final double[] p;
  private final double[] root;
  private final double[] gain;
  private final double[] moved;
  private final double[] scale;

  /** Begins at the end of the run, where nothing came later. */
  Smoother(Gaussian last) {
    n = last.n;
    x = last.x.clone();
    p = last.p.clone();
    root = new double[n * n];
    gain = new double[n * n];
    moved = new double[n * n];
    scale = new double[n];
  }

  /** Gives {@code state} what is known, with hindsight, of the moment reached. */
  void into(Gaussian state) {
    System.arraycopy(x, 0, state.x, 0, n);
    System.arraycopy(p, 0, state.p, 0, n * n);
  }

  /** Goes back from the end of a stretch to its begin. */
  void back(Recording.Stretch stretch) {
    factor(stretch.toP);
    gain(stretch);
    double[] later = new double[n];
    for (int i = 0; i < n; i++) {
      later[i] = x[i] - stretch.toX[i];
    }
    for (int i = 0; i < n * n; i++) {
      p[i] -= stretch.toP[i];
    }
    // gain holds the smoother's gain transposed: row = state at the end, column = at the begin.
    for (int i = 0; i < n; i++) {
      double sum = stretch.fromX[i];
      for (int k = 0; k < n; k++) {
        sum += gain[k * n + i] * later[k];
      }
      x[i] = sum;
    }
    multiply(p, gain, moved);
    for (int i = 0; i < n; i++) {
      for (int j = 0; j <= i; j++) {
        double sum = 0;
        for (int k = 0; k < n; k++) {
          sum += gain[k * n + i] * moved[k * n + j];
        }
        // Both halves of a symmetric matrix are the same but for rounding.
        double v = (stretch.fromP[i * n + j] + stretch.fromP[j * n + i]) / 2 + sum;
        root[i * n + j] = v;
        root[j * n + i] = v;
      }
    }
    System.arraycopy(root, 0, p, 0, n * n);
    if (!sound()) {
      System.arraycopy(stretch.fromX, 0, x, 0, n);
      System.arraycopy(stretch.fromP, 0, p, 0, n * n);
    }
  }

  /** Cholesky root of the correlations; what the others determine is left out. */
  private void factor(double[] covariance) {
    for (int i = 0; i < n; i++) {
      scale[i] = Math.sqrt(Math.max(0, covariance[i * n + i]));
    }
    for (int j = 0; j < n; j++) {
      for (int i = j; i < n; i++) {
        double sum = i == j ? 1 + JITTER : correlation(covariance, i, j);
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

  private double correlation(double[] covariance, int i, int j) {
    double product = scale[i] * scale[j];
    return product > 0 ? covariance[i * n + j] / product : 0;
  }

  /** Transposed gain: predicted covariance⁻¹ · map · covariance at the begin. */
  private void gain(Recording.Stretch stretch) {
    multiply(stretch.map, stretch.fromP, gain);
    for (int i = 0; i < n; i++) {
      for (int c = 0; c < n; c++) {
        gain[i * n + c] = scale[i] > 0 ? gain[i * n + c] / scale[i] : 0;
      }
      for (int k = 0; k < i; k++) {
        subtract(i, k, root[i * n + k]);
      }
      divide(i, root[i * n + i]);
    }
    for (int i = n - 1; i >= 0; i--) {
      for (int k = i + 1; k < n; k++) {
        subtract(i, k, root[k * n + i]);
      }
      divide(i, root[i * n + i]);
    }
    for (int i = 0; i < n; i++) {
      divide(i, scale[i]);
    }
  }

  private void subtract(int row, int other, double factor) {
    if (factor != 0) {
      for (int c = 0; c < n; c++) {
        gain[row * n + c] -= factor * gain[other * n + c];
      }
    }
  }

  private void divide(int row, double by) {
    for (int c = 0; c < n; c++) {
      gain[row * n + c] = by > 0 ? gain[row * n + c] / by : 0;
    }
  }

  private void multiply(double[] a, double[] b, double[] into) {
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        into[i * n + j] = 0;
      }
      for (int k = 0; k < n; k++) {
        double f = a[i * n + k];
        if (f != 0) {
          for (int j = 0; j < n; j++) {
            into[i * n + j] += f * b[k * n + j];
          }
        }
      }
    }
  }

  /** Whether rounding has left a mean and variances that can be. */
  private boolean sound() {
    boolean sound = true;
    for (int i = 0; i < n; i++) {
      sound &= Double.isFinite(x[i]) && p[i * n + i] >= 0 && p[i * n + i] < Double.MAX_VALUE;
    }
    return sound;
  }
}
