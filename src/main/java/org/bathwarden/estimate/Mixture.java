package org.bathwarden.estimate;

import java.util.ArrayList;
import java.util.List;

/**
 * Several beliefs in the same states, weighed by evidence, and the one Gaussian nearest to them.
 */
final class Mixture {

  private final List<Gaussian> parts = new ArrayList<>();
  private final List<Double> weights = new ArrayList<>();
  private double sum;

  /**
   * Adds a part.
   *
   * @param weight share before × evidence; the scale does not matter
   */
  void add(double weight, Gaussian part) {
    parts.add(part);
    weights.add(weight);
    sum += weight;
  }

  /** The share that part {@code i} has after all evidence; 0 if no part has any. */
  double share(int i) {
    return sum > 0 ? weights.get(i) / sum : 0;
  }

  /** Gives {@code target} the mean and covariance of the whole; without any evidence it stays. */
  void into(Gaussian target) {
    if (!(sum > 0)) {
      return;
    }
    int n = target.n;
    double[] mean = new double[n];
    double[] p = new double[n * n];
    for (int k = 0; k < parts.size(); k++) {
      for (int i = 0; i < n; i++) {
        mean[i] += share(k) * parts.get(k).x[i];
      }
    }
    for (int k = 0; k < parts.size(); k++) {
      Gaussian part = parts.get(k);
      for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
          double apart = (part.x[i] - mean[i]) * (part.x[j] - mean[j]);
          p[i * n + j] += share(k) * (part.p[i * n + j] + apart);
        }
      }
    }
    System.arraycopy(mean, 0, target.x, 0, n);
    System.arraycopy(p, 0, target.p, 0, n * n);
  }
}
