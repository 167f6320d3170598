package org.bathwarden.estimate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import org.bathwarden.tank.Entry;

/**
 * What a whole record says of each of its moments. The run forward has every entry at the time at
 * which it happened and ends with what must be presumed; the way back goes hour by hour, so that
 * only the hours' begins are kept.
 */
final class Hindsight {

  private final EstimatorSheet sheet;
  private final Filter filter;
  private final History history;
  private final Estimate[] estimates;
  private final List<Sample> samples;

  /** The beliefs after the steps of a block, used again for the next one. */
  private final List<Belief> after = new ArrayList<>();

  private Hindsight(EstimatorSheet sheet, List<Sample> samples) {
    this.sheet = sheet;
    this.samples = samples;
    filter = new Filter(sheet);
    history = History.unlimited(filter, Estimator.start(sheet, samples.get(0).at()));
    estimates = new Estimate[samples.size()];
  }

  /** See {@link Estimator#hindsight}. */
  static List<Estimate> of(EstimatorSheet sheet, List<Sample> samples, List<Entry> entries) {
    if (samples.isEmpty()) {
      return List.of();
    }
    Hindsight hindsight = new Hindsight(sheet, samples);
    hindsight.forward(entries);
    hindsight.back();
    return Arrays.asList(hindsight.estimates);
  }

  private void forward(List<Entry> entries) {
    List<Entry> due = new ArrayList<>(entries);
    due.sort(Comparator.comparingLong(Bookings::fromMillis));
    Partial partial = Partial.empty(samples.get(0).at().toEpochMilli());
    int next = 0;
    for (Sample sample : samples) {
      long at = Math.max(partial.endMillis(), sample.at().toEpochMilli());
      int first = next;
      while (next < due.size() && Bookings.fromMillis(due.get(next)) <= at) {
        next++;
      }
      partial = history.take(partial, sample, due.subList(first, next));
    }
    if (partial.endMillis() > partial.startMillis()) {
      history.close(partial.toStep());
    }
  }

  private void back() {
    List<EstimateState.Block> blocks = history.blocks();
    Smoother smoother = new Smoother(history.now().state.n);
    int row = samples.size() - 1;
    for (int b = blocks.size() - 1; b >= 0; b--) {
      row = back(blocks.get(b), smoother, row);
    }
    Belief first = blocks.get(0).start().copy();
    smoother.into(first.state);
    while (row >= 0) {
      estimates[row--] = Estimator.describe(sheet, first);
    }
  }

  /** Runs through a block again and goes back over it; answers the last row before it. */
  private int back(EstimateState.Block block, Smoother smoother, int lastRow) {
    Recording recording = new Recording();
    Belief belief = block.start().copy();
    belief.state.record(recording);
    List<Step> steps = block.steps();
    for (int i = 0; i < steps.size(); i++) {
      Step step = steps.get(i);
      filter.run(belief, step, history.within(step), history.presumedWithin(step));
      recording.endStep(belief.state);
      if (i == after.size()) {
        after.add(belief.copy());
      } else {
        after.get(i).become(belief);
      }
    }
    int row = lastRow;
    int change = recording.changes().size();
    for (int i = steps.size() - 1; i >= 0; i--) {
      while (change > recording.ends().get(i)) {
        recording.changes().get(--change).back(smoother);
      }
      row = describe(after.get(i), steps.get(i), smoother, row);
    }
    while (change > 0) {
      recording.changes().get(--change).back(smoother);
    }
    return row;
  }

  /** Gives the rows within a step what is known of its end; answers the last row before it. */
  private int describe(Belief belief, Step step, Smoother smoother, int lastRow) {
    int row = lastRow;
    boolean begun = false;
    while (row >= 0 && samples.get(row).at().toEpochMilli() > step.startMillis()) {
      if (!begun) {
        smoother.into(belief.state);
        belief.bound(3 * sheet.tank().geometry().maximumL());
        begun = true;
      }
      estimates[row] = Estimator.describe(sheet, belief);
      row--;
    }
    return row;
  }
}
