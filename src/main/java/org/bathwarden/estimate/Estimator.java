package org.bathwarden.estimate;

import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.WaterDensity;

/**
 * Estimates what is in one tank: an extended Kalman filter over alkalinity, volume and the slowly
 * changing unknowns, run in steps of at most a minute. Late entries are put back to where they
 * belong. Pure; bad input is left out and shows as a flag and a wider interval.
 */
public final class Estimator {

  /** 97.5 % quantile of the normal distribution. */
  private static final double Z95 = 1.959964;

  /** A probe not used for so long is reported. */
  private static final double PROBE_LOST_H = 0.25;

  /** Something unexplained is reported for so long. */
  private static final double UNEXPLAINED_H = 6;

  /** Share of the band beyond which an interval is called wide. */
  private static final double WIDE_SHARE = 0.75;

  private Estimator() {}

  /** The state before the first sample; entries from before {@code at} are never used. */
  public static EstimateState start(EstimatorSheet sheet, Instant at) {
    long millis = at.toEpochMilli();
    Belief first = new Filter(sheet).first(millis);
    return new EstimateState(
        List.of(new EstimateState.Block(first, List.of())),
        first,
        Partial.empty(millis),
        List.of(),
        List.of(),
        List.of(),
        List.of(),
        Optional.empty());
  }

  /**
   * Takes in one sample and whatever people have told since the last one. What nobody vouches for
   * is kept beside the rest, see {@link #vouched}.
   *
   * @param before state before
   * @param sample a time before the latest sample's counts as that one's
   * @param entries in any order; those that say nothing about the liquid, repeat an id, lie before
   *     the kept history or more than two minutes ahead of the sample are left out
   */
  public static EstimateState run(
      EstimatorSheet sheet, EstimateState before, Sample sample, List<Entry> entries) {
    Filter filter = new Filter(sheet);
    Claims claims = Claims.of(before, entries);
    EstimateState vouched = advance(filter, before, sample, claims.vouched());
    List<Entry> unvouched = claims.within(filter, vouched);
    List<Entry> waiting = Claims.waiting(filter, vouched, unvouched);
    if (waiting.isEmpty()) {
      return vouched.beside(unvouched, Optional.empty());
    }
    boolean goesOn = entries.isEmpty() && waiting.equals(before.waiting());
    EstimateState told =
        goesOn
            ? advance(filter, before.told().orElseThrow(), sample, List.of())
            : History.told(filter, vouched, waiting);
    return vouched.beside(unvouched, Optional.of(told));
  }

  private static EstimateState advance(
      Filter filter, EstimateState before, Sample sample, List<Entry> entries) {
    History history = new History(filter, before);
    return history.state(history.take(before.partial(), sample, entries));
  }

  /**
   * What all that was told says about the moment of the latest sample. A titration that nobody
   * vouches for is in it, but makes none less due and no doubtful one less so.
   */
  public static Estimate estimate(EstimatorSheet sheet, EstimateState state) {
    Estimate vouched = vouched(sheet, state);
    return state.told().isEmpty()
        ? vouched
        : vouched(sheet, state.told().get()).claimedBeside(vouched);
  }

  /** The same without what nobody vouches for. */
  public static Estimate vouched(EstimatorSheet sheet, EstimateState state) {
    return describe(sheet, latest(sheet, state));
  }

  /**
   * The verdicts as they would be if the step under way ended with the latest sample: a titration
   * gets its final one within a minute.
   */
  public static List<TitrationVerdict> foreseen(EstimatorSheet sheet, EstimateState state) {
    List<TitrationVerdict> vouched = latest(sheet, state).verdicts;
    return state.told().isEmpty()
        ? vouched
        : Claims.merged(vouched, latest(sheet, state.told().get()).verdicts);
  }

  private static Belief latest(EstimatorSheet sheet, EstimateState state) {
    if (state.partial().samples() == 0) {
      return state.now();
    }
    Filter filter = new Filter(sheet);
    Step step = state.partial().toStep();
    Belief belief = state.now().copy();
    History history = new History(filter, state);
    filter.run(belief, step, history.within(step), history.presumedWithin(step));
    return belief;
  }

  /**
   * What a whole record says of the moment of each of its samples, later readings and entries
   * included: every entry counts from the time at which it happened.
   *
   * @param samples in order of time
   * @param entries in any order
   * @return one estimate for each sample
   */
  public static List<Estimate> hindsight(
      EstimatorSheet sheet, List<Sample> samples, List<Entry> entries) {
    return Hindsight.of(sheet, samples, entries);
  }

  static Estimate describe(EstimatorSheet sheet, Belief filtered) {
    Belief belief = filtered.seen(Usual.of(filtered.state, sheet.priors()));
    belief.bound(3 * sheet.tank().geometry().maximumL());
    double[] x = belief.state.x;
    Gaussian state = belief.state;
    double c = belief.concentrationPct();
    double v = belief.volumeL();
    double u = Math.sqrt(belief.concentrationVariance());
    double hot = WaterDensity.expansionFrom20C(belief.counter[Belief.TEMPERATURE]);
    double[] gradient = belief.concentrationGradient();
    double covariance =
        gradient[Belief.ALKALI] * state.p[Belief.ALKALI * state.n + Belief.VOLUME]
            + gradient[Belief.VOLUME] * state.variance(Belief.VOLUME);
    double loss = Math.exp(x[Belief.LOSS]);
    double evaporation = Math.exp(x[Belief.EVAPORATION]) * belief.counter[Belief.EVAPORATION_GUESS];
    double foreign = x[Belief.FOREIGN] / v;
    return new Estimate(
        Instant.ofEpochMilli(belief.atMillis()),
        c,
        Math.max(0, c - Z95 * u),
        c + Z95 * u,
        u,
        v * hot,
        Math.sqrt(Math.max(0, state.variance(Belief.VOLUME))) * hot,
        covariance * hot,
        loss,
        loss * Math.sqrt(Math.max(0, state.variance(Belief.LOSS))),
        evaporation,
        evaporation * Math.sqrt(Math.max(0, state.variance(Belief.EVAPORATION))),
        Math.exp(x[Belief.DELIVERED]),
        Math.exp(x[Belief.GAIN] + x[Belief.GAIN_HOURS]),
        foreign,
        certainty(belief),
        lastAccepted(belief),
        flags(sheet, belief, u));
  }

  private static Certainty certainty(Belief belief) {
    double titration = belief.counter[Belief.FROM_TITRATION];
    double probe = belief.counter[Belief.FROM_PROBE];
    double sum = titration + probe + belief.counter[Belief.FROM_BALANCE];
    return sum > 0
        ? new Certainty(titration / sum, probe / sum, 1 - titration / sum - probe / sum)
        : new Certainty(0, 0, 1);
  }

  private static Optional<Instant> lastAccepted(Belief belief) {
    for (int i = belief.verdicts.size() - 1; i >= 0; i--) {
      TitrationVerdict verdict = belief.verdicts.get(i);
      if (verdict.verdict().accepted()) {
        return Optional.of(verdict.sampleAt());
      }
    }
    return Optional.empty();
  }

  private static Set<Flag> flags(EstimatorSheet sheet, Belief belief, double u) {
    double[] counter = belief.counter;
    Set<Flag> flags = EnumSet.noneOf(Flag.class);
    Optional<TitrationVerdict> latest = TitrationVerdict.lastThatCounts(belief.verdicts);
    if (latest.isPresent()
        && latest.get().verdict().doubtful()
        && Recharge.ofThisBath(belief, latest.get())) {
      flags.add(Flag.TITRATION_DOUBTFUL);
    }
    if (counter[Belief.CONDUCTIVITY_AGE_H] > PROBE_LOST_H) {
      double why = counter[Belief.CONDUCTIVITY_WHY];
      flags.add(
          why == 1
              ? Flag.CONDUCTIVITY_MISSING
              : why == 2 ? Flag.CONDUCTIVITY_OUTSIDE : Flag.CONDUCTIVITY_SUSPECT);
    }
    if (counter[Belief.LEVEL_AGE_H] > PROBE_LOST_H) {
      boolean missing = counter[Belief.LEVEL_GONE_H] > 0;
      flags.add(missing ? Flag.LEVEL_MISSING : Flag.LEVEL_SUSPECT);
    }
    if (counter[Belief.TEMPERATURE_AGE_H] > PROBE_LOST_H) {
      flags.add(Flag.TEMPERATURE_MISSING);
    }
    if (counter[Belief.UNEXPLAINED_AGE_H] < UNEXPLAINED_H) {
      flags.add(Flag.UNEXPLAINED_CHANGE);
    }
    double width = 2 * Z95 * u;
    if (width > WIDE_SHARE * sheet.tank().band().widthPct()) {
      flags.add(Flag.WIDE);
    }
    return flags;
  }
}
