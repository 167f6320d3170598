package org.bathwarden.estimate;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** Turns states into plain values and back, exactly. */
final class Packing {

  /** Rises with every change of what the numbers mean. */
  private static final int LAYOUT = 7;

  private static final int REST = Belief.COUNTERS + Track.SIZE;

  /** More further methods has no sheet. */
  private static final int MOST_METHODS = 16;

  private static final int STEP = 11;
  private static final int PARTIAL = 16;

  private Packing() {}

  static EstimateSnapshot pack(EstimateState state) {
    List<EstimateSnapshot.Block> blocks = new ArrayList<>();
    for (EstimateState.Block block : state.blocks()) {
      blocks.add(
          new EstimateSnapshot.Block(
              pack(block.start()), block.start().verdicts, pack(block.steps())));
    }
    return new EstimateSnapshot(
        LAYOUT,
        blocks,
        pack(state.now()),
        state.now().verdicts,
        pack(state.partial()),
        state.entries(),
        state.presumed(),
        state.findings(),
        state.claims(),
        state.told().map(Packing::pack));
  }

  static Optional<EstimateState> unpack(EstimateSnapshot snapshot) {
    if (!fits(snapshot)) {
      return Optional.empty();
    }
    Optional<EstimateState> told = snapshot.told().flatMap(Packing::unpack);
    if (told.isPresent() != snapshot.told().isPresent()) {
      return Optional.empty();
    }
    List<EstimateState.Block> blocks = new ArrayList<>();
    for (EstimateSnapshot.Block block : snapshot.blocks()) {
      blocks.add(
          new EstimateState.Block(belief(block.start(), block.verdicts()), steps(block.steps())));
    }
    return Optional.of(
        new EstimateState(
            List.copyOf(blocks),
            belief(snapshot.now(), snapshot.verdicts()),
            partial(snapshot.partial()),
            snapshot.entries(),
            snapshot.presumed(),
            snapshot.findings(),
            snapshot.claims(),
            told));
  }

  private static boolean fits(EstimateSnapshot snapshot) {
    boolean fits =
        snapshot.layout() == LAYOUT
            && states(snapshot.now()) > 0
            && snapshot.partial().size() == PARTIAL
            && !snapshot.blocks().isEmpty();
    for (EstimateSnapshot.Block block : snapshot.blocks()) {
      fits &= states(block.start()) > 0 && block.steps().size() % STEP == 0;
    }
    return fits;
  }

  /** How many states a packed belief has; 0 if it is none. */
  private static int states(Numbers belief) {
    for (int n = Belief.STATES; n <= Belief.STATES + MOST_METHODS; n++) {
      if (belief.size() == size(n)) {
        return n;
      }
    }
    return 0;
  }

  private static int size(int n) {
    return n + n * (n + 1) / 2 + REST;
  }

  private static Numbers pack(Belief belief) {
    int n = belief.state.n;
    double[] out = new double[size(n)];
    System.arraycopy(belief.state.x, 0, out, 0, n);
    int at = n;
    for (int i = 0; i < n; i++) {
      for (int j = 0; j <= i; j++) {
        out[at++] = belief.state.p[i * n + j];
      }
    }
    System.arraycopy(belief.counter, 0, out, at, Belief.COUNTERS);
    System.arraycopy(belief.track.v, 0, out, at + Belief.COUNTERS, Track.SIZE);
    return Numbers.of(out);
  }

  private static Belief belief(Numbers numbers, List<TitrationVerdict> verdicts) {
    double[] in = numbers.toArray();
    int n = states(numbers);
    Belief belief = new Belief(n);
    System.arraycopy(in, 0, belief.state.x, 0, n);
    int at = n;
    for (int i = 0; i < n; i++) {
      for (int j = 0; j <= i; j++) {
        belief.state.p[i * n + j] = in[at];
        belief.state.p[j * n + i] = in[at++];
      }
    }
    System.arraycopy(in, at, belief.counter, 0, Belief.COUNTERS);
    System.arraycopy(in, at + Belief.COUNTERS, belief.track.v, 0, Track.SIZE);
    belief.verdicts = verdicts;
    return belief;
  }

  private static Numbers pack(List<Step> steps) {
    double[] out = new double[steps.size() * STEP];
    int at = 0;
    for (Step step : steps) {
      out[at++] = step.startMillis();
      out[at++] = step.endMillis();
      out[at++] = step.levelL();
      out[at++] = step.temperatureC();
      out[at++] = step.conductivityMsCm();
      out[at++] = step.ph();
      out[at++] = step.concentrateL();
      out[at++] = step.waterL();
      out[at++] = step.loads();
      out[at++] = step.circulating() ? 1 : 0;
      out[at++] = step.levelSettled() ? 1 : 0;
    }
    return Numbers.of(out);
  }

  private static List<Step> steps(Numbers in) {
    List<Step> steps = new ArrayList<>();
    for (int i = 0; i < in.size(); i += STEP) {
      steps.add(
          new Step(
              (long) in.get(i),
              (long) in.get(i + 1),
              in.get(i + 2),
              in.get(i + 3),
              in.get(i + 4),
              in.get(i + 5),
              in.get(i + 6),
              in.get(i + 7),
              in.get(i + 8),
              in.get(i + 9) > 0,
              in.get(i + 10) > 0));
    }
    return List.copyOf(steps);
  }

  private static Numbers pack(Partial partial) {
    return Numbers.of(
        partial.startMillis(),
        partial.endMillis(),
        partial.samples(),
        partial.levelSum(),
        partial.levels(),
        partial.temperatureSum(),
        partial.temperatures(),
        partial.conductivitySum(),
        partial.conductivities(),
        partial.phSum(),
        partial.phs(),
        partial.concentrateL(),
        partial.waterL(),
        partial.loads(),
        partial.circulating() ? 1 : 0,
        partial.levelSettled() ? 1 : 0);
  }

  private static Partial partial(Numbers in) {
    return new Partial(
        (long) in.get(0),
        (long) in.get(1),
        (int) in.get(2),
        in.get(3),
        (int) in.get(4),
        in.get(5),
        (int) in.get(6),
        in.get(7),
        (int) in.get(8),
        in.get(9),
        (int) in.get(10),
        in.get(11),
        in.get(12),
        in.get(13),
        in.get(14) > 0,
        in.get(15) > 0);
  }
}
