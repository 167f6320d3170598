package org.bathwarden.estimate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * What a {@link Smoother} needs of a forward run: each linear change of the belief, in order. Doubt
 * that is added passes nothing back, and how means move is known from the beliefs themselves;
 * neither is recorded. A mean that is changed right after something was learned counts as learned.
 * A {@link Gaussian} reports to it; means must be moved after covariances, not before. One thread.
 */
final class Recording {

  /** A change that the way back passes through. */
  interface Change {
    void back(Smoother smoother);
  }

  private final List<Change> changes = new ArrayList<>();
  private final List<Integer> ends = new ArrayList<>();
  private boolean learned;
  private double[] mean = {};

  /** All changes, in order. */
  List<Change> changes() {
    return changes;
  }

  /** For each step the number of changes up to its end. */
  List<Integer> ends() {
    return ends;
  }

  /** A step has ended. */
  void endStep(Gaussian state) {
    changes(state);
    ends.add(changes.size());
  }

  /** The state is about to be changed. */
  void changes(Gaussian state) {
    if (learned && !Arrays.equals(mean, state.x)) {
      double[] by = new double[state.n];
      for (int i = 0; i < state.n; i++) {
        by[i] = state.x[i] - mean[i];
      }
      Gaussian after = state.copy();
      changes.add(smoother -> smoother.putRight(after, by));
    }
    learned = false;
  }

  private void learned(Gaussian after) {
    learned = true;
    mean = after.x.clone();
  }

  /** State {@code row} becomes {@code Σ f[j]·x[j]}. */
  void mapRow(int row, double[] f) {
    double[] kept = f.clone();
    changes.add(smoother -> smoother.mapped(row, kept));
  }

  /** State {@code i} becomes {@code factor} times itself; 0 makes it anew. */
  void scale(int i, double factor) {
    changes.add(smoother -> smoother.scaled(i, factor));
  }

  /**
   * The mean has moved by {@code moved·ph} and the covariance changed by {@code changed·ph·phᵀ}.
   *
   * @param h what was learned of, as it depends on the states
   * @param ph its covariances before
   */
  void learn(double[] h, double[] ph, double moved, double changed, Gaussian after) {
    double[] keptH = h.clone();
    double[] keptPh = ph.clone();
    changes.add(smoother -> smoother.learned(keptH, keptPh, moved, changed));
    learned(after);
  }

  /** What {@code before} said has become what {@code after} says, in any way. */
  void replace(Gaussian before, Gaussian after) {
    Gaussian kept = after.copy();
    changes.add(smoother -> smoother.replaced(before, kept));
    learned(after);
  }
}
