package org.bathwarden.estimate;

import java.util.ArrayList;
import java.util.List;

/**
 * What a smoother needs of a forward run: the stretches between measurements, each with what was
 * believed at its begin, the linear map through it, and what was predicted at its end. A {@link
 * Gaussian} reports to it before each change; means must be moved after covariances, not before.
 */
final class Recording {

  /** A stretch without measurements. */
  static final class Stretch {
    /** Mean at its begin, all measurements before it taken in. */
    final double[] fromX;

    /** Covariance there. */
    final double[] fromP;

    /** How the state at its end depends on the one at its begin, row by row. */
    final double[] map;

    /** Mean predicted at its end. */
    final double[] toX;

    /** Covariance predicted there. */
    final double[] toP;

    private Stretch(double[] fromX, double[] fromP, double[] map, Gaussian to) {
      this.fromX = fromX;
      this.fromP = fromP;
      this.map = map;
      toX = to.x.clone();
      toP = to.p.clone();
    }
  }

  private final List<Stretch> stretches = new ArrayList<>();
  private final List<Integer> ends = new ArrayList<>();
  private boolean moving;
  private double[] fromX = {};
  private double[] fromP = {};
  private double[] map = {};

  /** All stretches, in order. */
  List<Stretch> stretches() {
    return stretches;
  }

  /** For each step the number of stretches up to its end. */
  List<Integer> ends() {
    return ends;
  }

  /** The state is about to be carried on. */
  void moves(Gaussian state) {
    if (!moving) {
      moving = true;
      fromX = state.x.clone();
      fromP = state.p.clone();
      map = new double[state.n * state.n];
      for (int i = 0; i < state.n; i++) {
        map[i * state.n + i] = 1;
      }
    }
  }

  /** The state is about to take in a measurement. */
  void learns(Gaussian state) {
    if (moving) {
      moving = false;
      stretches.add(new Stretch(fromX, fromP, map, state));
    }
  }

  /** A step has ended. */
  void endStep(Gaussian state) {
    learns(state);
    ends.add(stretches.size());
  }

  /** State {@code row} becomes {@code Σ f[j]·x[j]}. */
  void mapRow(int row, double[] f) {
    int n = f.length;
    double[] mapped = new double[n];
    for (int j = 0; j < n; j++) {
      if (f[j] != 0) {
        for (int k = 0; k < n; k++) {
          mapped[k] += f[j] * map[j * n + k];
        }
      }
    }
    System.arraycopy(mapped, 0, map, row * n, n);
  }

  /** State {@code row} of {@code n} becomes {@code factor} times itself; 0 makes it anew. */
  void scale(int row, double factor, int n) {
    for (int k = 0; k < n; k++) {
      map[row * n + k] *= factor;
    }
  }
}
