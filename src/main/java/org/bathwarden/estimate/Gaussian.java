package org.bathwarden.estimate;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * A mean and a covariance, changed in place: the arithmetic of a Kalman filter. Updates take one
 * scalar at a time in Joseph's form, which keeps the covariance symmetric and non-negative whatever
 * the gain. One thread; steps allocate nothing.
 */
final class Gaussian {

  final int n;
  final double[] x;

  /** Covariance, row by row. */
  final double[] p;

  private final double[] ph;
  private final double[] gain;
  private final double[] scratch;

  /** Where the gradient at hand is not 0: most depend on a third of the states at most. */
  private final int[] support;

  private @Nullable Recording recording;

  Gaussian(int n) {
    this(new double[n], new double[n * n]);
  }

  private Gaussian(double[] x, double[] p) {
    n = x.length;
    this.x = x;
    this.p = p;
    ph = new double[n];
    gain = new double[n];
    scratch = new double[n];
    support = new int[n];
  }

  Gaussian copy() {
    return new Gaussian(x.clone(), p.clone());
  }

  /** Takes over mean and covariance of {@code other}, which has as many states. */
  void become(Gaussian other) {
    System.arraycopy(other.x, 0, x, 0, n);
    System.arraycopy(other.p, 0, p, 0, n * n);
  }

  /** One of {@code size} states, of which the first {@code kept} are as here. */
  Gaussian resized(int size, int kept) {
    Gaussian other = new Gaussian(size);
    System.arraycopy(x, 0, other.x, 0, kept);
    for (int i = 0; i < kept; i++) {
      System.arraycopy(p, i * n, other.p, i * size, kept);
    }
    other.recording = recording;
    return other;
  }

  /** Reports all changes from now on. */
  void record(Recording to) {
    recording = to;
  }

  private void changes() {
    if (recording != null) {
      recording.changes(this);
    }
  }

  double variance(int i) {
    return p[i * n + i];
  }

  /** Makes state {@code i} independent of all others, with the given mean and variance. */
  void set(int i, double mean, double variance) {
    changes();
    if (recording != null) {
      recording.scale(i, 0);
    }
    for (int j = 0; j < n; j++) {
      p[i * n + j] = 0;
      p[j * n + i] = 0;
    }
    x[i] = mean;
    p[i * n + i] = variance;
  }

  /** Adds {@code variance} of independent doubt to state {@code i}. */
  void widen(int i, double variance) {
    changes();
    p[i * n + i] += variance;
  }

  /** Adds {@code variance} of doubt that moves states {@code i} and {@code j} together. */
  void widen(int i, double di, int j, double dj, double variance) {
    changes();
    p[i * n + i] += variance * di * di;
    p[j * n + j] += variance * dj * dj;
    p[i * n + j] += variance * di * dj;
    p[j * n + i] += variance * di * dj;
  }

  /**
   * Multiplies state {@code i}'s covariances by {@code factor} (its mean is left to the caller).
   */
  void scale(int i, double factor) {
    changes();
    if (recording != null) {
      recording.scale(i, factor);
    }
    for (int j = 0; j < n; j++) {
      p[i * n + j] *= factor;
    }
    for (int j = 0; j < n; j++) {
      p[j * n + i] *= factor;
    }
  }

  /** Covariance after a linear map that replaces state {@code row} by {@code Σ f[j]·x[j]}. */
  void mapRow(int row, double[] f) {
    changes();
    if (recording != null) {
      recording.mapRow(row, f);
    }
    covariance(f, scratch);
    double own = 0;
    for (int j = 0; j < n; j++) {
      own += scratch[j] * f[j];
    }
    for (int j = 0; j < n; j++) {
      p[row * n + j] = scratch[j];
      p[j * n + row] = scratch[j];
    }
    p[row * n + row] = own;
  }

  /** Notes where {@code h} is not 0; answers at how many places. */
  private int support(double[] h) {
    int count = 0;
    for (int i = 0; i < n; i++) {
      if (h[i] != 0) {
        support[count++] = i;
      }
    }
    return count;
  }

  /** Covariance of every state with {@code Σ h[j]·x[j]}, into {@code into}. */
  void covariance(double[] h, double[] into) {
    Arrays.fill(into, 0);
    int count = support(h);
    for (int a = 0; a < count; a++) {
      int row = support[a] * n;
      double f = h[support[a]];
      for (int j = 0; j < n; j++) {
        into[j] += f * p[row + j];
      }
    }
  }

  /** Variance of {@code Σ h[j]·x[j]}; states of which h is 0 are not looked at. */
  double variance(double[] h) {
    int count = support(h);
    double sum = 0;
    for (int a = 0; a < count; a++) {
      int row = support[a] * n;
      double with = 0;
      for (int b = 0; b < count; b++) {
        int j = support[b];
        with += h[j] * p[row + j];
      }
      sum += h[support[a]] * with;
    }
    return sum;
  }

  /**
   * Takes in a measurement of {@code Σ h[j]·x[j]}.
   *
   * @param h how the measured quantity depends on the states
   * @param innovation measured minus predicted
   * @param r variance of the measurement's own error, positive
   * @return variance that the innovation was expected to have
   */
  double update(double[] h, double innovation, double r) {
    changes();
    covariance(h, ph);
    double s = r;
    for (int j = 0; j < n; j++) {
      s += h[j] * ph[j];
    }
    double share = 1 / s;
    for (int j = 0; j < n; j++) {
      gain[j] = ph[j] * share;
      x[j] += gain[j] * innovation;
    }
    joseph(s);
    if (recording != null) {
      recording.learn(h, ph, innovation / s, -1 / s, this);
    }
    return s;
  }

  /** (I − K·h)·P·(I − K·h)ᵀ + K·r·Kᵀ, multiplied out: one pass over half of P. */
  private void joseph(double s) {
    for (int i = 0; i < n; i++) {
      double k = gain[i];
      double own = s * k - ph[i];
      for (int j = 0; j <= i; j++) {
        double v = p[i * n + j] - k * ph[j] + own * gain[j];
        p[i * n + j] = v;
        p[j * n + i] = v;
      }
    }
  }

  /**
   * Takes in knowledge of {@code Σ h[j]·x[j]} that is not Gaussian: its mean moves by {@code shift}
   * and its variance becomes {@code after}; what is correlated with it follows linearly.
   *
   * @param after new variance of the quantity, at least 0; it may exceed the old one
   */
  void reshape(double[] h, double shift, double after) {
    changes();
    double s = 0;
    covariance(h, ph);
    for (int j = 0; j < n; j++) {
      s += h[j] * ph[j];
    }
    if (!(s > 0)) {
      return;
    }
    double change = (after - s) / (s * s);
    for (int i = 0; i < n; i++) {
      x[i] += ph[i] / s * shift;
    }
    for (int i = 0; i < n; i++) {
      for (int j = 0; j <= i; j++) {
        double v = p[i * n + j] + ph[i] * change * ph[j];
        p[i * n + j] = v;
        p[j * n + i] = v;
      }
    }
    if (recording != null) {
      recording.learn(h, ph, shift / s, change, this);
    }
  }

  /** Takes over what {@code mean} and {@code covariance} say after a measurement. */
  void learn(double[] mean, double[] covariance) {
    changes();
    Gaussian before = recording == null ? this : copy();
    System.arraycopy(mean, 0, x, 0, n);
    System.arraycopy(covariance, 0, p, 0, n * n);
    if (recording != null) {
      recording.replace(before, this);
    }
  }
}
