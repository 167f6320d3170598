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
  private double apart;

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

  /** Sets the parts added so far apart from those that follow. */
  void setApartSoFar() {
    apart = sum;
  }

  /** The share that the parts set apart have after all evidence; 0 if no part has any. */
  double setApart() {
    return sum > 0 ? apart / sum : 0;
  }

  private double share(int i) {
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
    target.learn(mean, p);
  }
}
