package org.bathwarden.estimate;

import java.util.Arrays;

/**
 * Goes back over a recorded run and lets what came later speak of what was before. What later
 * readings say is carried back, change by change, as a vector λ and a matrix Λ; where a moment is
 * asked for, they are weighed with the mean x and covariance P of that moment: {@code x − P·λ} and
 * {@code P − P·Λ·P} (Bryson and Frazier 1963 as modified by Bierman 1973, from memory; the same in
 * exact arithmetic as Rauch, Tung and Striebel 1965, but without dividing by a covariance). States
 * that were made anew, or never had any doubt, pass nothing back. One thread.
 */
final class Smoother {

  /** A variance may be so much below 0, as a share of what it was without hindsight. */
  private static final double ROUNDING = 1e-9;

  private final int n;

  /** λ. */
  private final double[] pull;

  /** Λ, row by row; symmetric to the last bit. */
  private final double[] said;

  private final double[] with;
  private final double[] change;
  private final double[] mean;
  private final double[] told;
  private final double[] later;

  /** Begins at the end of a run of {@code n} states, where nothing came later. */
  Smoother(int n) {
    this.n = n;
    pull = new double[n];
    said = new double[n * n];
    with = new double[n];
    change = new double[n];
    mean = new double[n];
    told = new double[n * n];
    later = new double[n * n];
  }

  /**
   * Gives {@code state}, which is as the run forward left it at the moment reached, what is known
   * of that moment with hindsight. If rounding has left nothing that can be, the state stays and
   * what came later is forgotten.
   */
  void into(Gaussian state) {
    double[] p = state.p;
    for (int i = 0; i < n; i++) {
      mean[i] = state.x[i] - dot(pull, p, i * n);
      combine(said, i * n, p, told, i * n, n);
    }
    // told is Λ·P now; of P·Λ·P, which is symmetric, one half is enough.
    boolean sound = true;
    for (int i = 0; i < n; i++) {
      combine(p, i * n, told, later, i * n, i + 1);
      double own = p[i * n + i] - later[i * n + i];
      sound &= Double.isFinite(mean[i]) && Double.isFinite(own) && own >= -ROUNDING * p[i * n + i];
    }
    if (sound) {
      System.arraycopy(mean, 0, state.x, 0, n);
      for (int i = 0; i < n; i++) {
        for (int j = 0; j <= i; j++) {
          double v = p[i * n + j] - later[i * n + j];
          p[i * n + j] = v;
          p[j * n + i] = v;
        }
      }
    } else {
      Arrays.fill(pull, 0);
      Arrays.fill(said, 0);
    }
  }

  /** Goes back through {@code x[row] = Σ f[j]·x[j]}: λ becomes Fᵀ·λ, Λ becomes Fᵀ·Λ·F. */
  void mapped(int row, double[] f) {
    System.arraycopy(said, row * n, with, 0, n);
    double own = with[row];
    double lambda = pull[row];
    for (int i = 0; i < n; i++) {
      double g = i == row ? f[i] - 1 : f[i];
      change[i] = g;
      pull[i] += g * lambda;
      with[i] += own / 2 * g;
    }
    add(change, with);
  }

  /** Goes back through {@code x[i] = factor·x[i]}. */
  void scaled(int i, double factor) {
    pull[i] *= factor;
    for (int j = 0; j < n; j++) {
      said[i * n + j] *= factor;
    }
    for (int j = 0; j < n; j++) {
      said[j * n + i] *= factor;
    }
  }

  /**
   * Goes back through what was learned of {@code Σ h[j]·x[j]}: the mean had moved by {@code
   * moved·ph}, the covariance changed by {@code changed·ph·phᵀ}, with ph = P·h before it. So P was
   * multiplied by M = I + changed·h·phᵀ, and Λ becomes M·Λ·Mᵀ − changed·h·hᵀ.
   */
  void learned(double[] h, double[] ph, double meanMoved, double changed) {
    double lambda = changed * dot(pull, ph, 0) - meanMoved;
    combine(ph, 0, said, with, 0, n);
    double half = (changed * changed * dot(with, ph, 0) - changed) / 2;
    for (int i = 0; i < n; i++) {
      pull[i] += h[i] * lambda;
      with[i] = changed * with[i] + half * h[i];
    }
    add(h, with);
  }

  /** Goes back through a change of the mean alone. */
  void putRight(Gaussian after, double[] by) {
    System.arraycopy(by, 0, change, 0, n);
    new CovarianceRoot(after).divide(change, 0);
    for (int i = 0; i < n; i++) {
      pull[i] -= change[i];
    }
  }

  /** Goes back through a change from one belief to another, whatever made it. */
  void replaced(Gaussian before, Gaussian after) {
    for (int i = 0; i < n; i++) {
      mean[i] = before.x[i] - after.x[i] + dot(pull, after.p, i * n);
      combine(after.p, i * n, said, with, 0, n);
      for (int j = 0; j < n; j++) {
        double back = dot(with, after.p, j * n);
        told[i * n + j] = before.p[i * n + j] - after.p[i * n + j] + back;
      }
    }
    CovarianceRoot root = new CovarianceRoot(before);
    root.divide(mean, 0);
    System.arraycopy(mean, 0, pull, 0, n);
    divideRows(root, told);
    transpose(told);
    divideRows(root, told);
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < n; j++) {
        said[i * n + j] = (told[i * n + j] + told[j * n + i]) / 2;
      }
    }
  }

  private void divideRows(CovarianceRoot root, double[] matrix) {
    for (int i = 0; i < n; i++) {
      root.divide(matrix, i * n);
    }
  }

  private void transpose(double[] matrix) {
    for (int i = 0; i < n; i++) {
      for (int j = 0; j < i; j++) {
        double v = matrix[i * n + j];
        matrix[i * n + j] = matrix[j * n + i];
        matrix[j * n + i] = v;
      }
    }
  }

  /** Adds u·yᵀ + y·uᵀ to Λ, both halves in the same order; most of u is 0. */
  private void add(double[] u, double[] y) {
    for (int i = 0; i < n; i++) {
      double f = u[i];
      if (f != 0) {
        for (int j = 0; j < n; j++) {
          said[i * n + j] += f * y[j];
        }
        for (int j = 0; j < n; j++) {
          said[j * n + i] += f * y[j];
        }
      }
    }
  }

  /**
   * Puts {@code Σ f[at + k]·m[k][j]} for the first {@code count} columns j into {@code into} from
   * {@code to}. Four rows at a time, since loops as short as these cost more than what is in them.
   */
  private void combine(double[] f, int at, double[] m, double[] into, int to, int count) {
    Arrays.fill(into, to, to + count, 0);
    int k = 0;
    for (; k + 3 < n; k += 4) {
      double f0 = f[at + k];
      double f1 = f[at + k + 1];
      double f2 = f[at + k + 2];
      double f3 = f[at + k + 3];
      int row = k * n;
      for (int j = 0; j < count; j++) {
        into[to + j] +=
            f0 * m[row + j]
                + f1 * m[row + n + j]
                + f2 * m[row + 2 * n + j]
                + f3 * m[row + 3 * n + j];
      }
    }
    for (; k < n; k++) {
      for (int j = 0; j < count; j++) {
        into[to + j] += f[at + k] * m[k * n + j];
      }
    }
  }

  private double dot(double[] a, double[] b, int at) {
    double sum = 0;
    for (int j = 0; j < n; j++) {
      sum += a[j] * b[at + j];
    }
    return sum;
  }
}
