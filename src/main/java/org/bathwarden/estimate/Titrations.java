package org.bathwarden.estimate;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.Titration;
import org.bathwarden.tank.TankSheet;

/**
 * Takes titrations into a belief: by the likelihood of whole drops or of a result with its
 * uncertainty, mixed with a share of plain blunders that could read anything.
 */
final class Titrations {

  /** 99 % quantile of chi-square with one degree of freedom. */
  static final double GATE_99 = 6.6349;

  /** Verdicts that are kept. */
  private static final int KEPT = 16;

  /** A blunder may read anything up to this multiple of the target. */
  private static final double BLUNDER_RANGE = 3;

  /** Half or twice the sample, a decimal point (common practice, no source). */
  private static final double[] TYPICAL_BLUNDERS = {0.5, 2, 10};

  /**
   * How exactly such a mistake hits its factor, as a share: a pipette's 2 and 3 % of haste;
   * judgement.
   */
  private static final double BLUNDER_U = 0.04;

  /** A titration done in haste scatters so many times as much (common practice, no source). */
  private static final double CARELESS_TIMES = 2;

  private static final double CARELESS_SHARE = 0.2;

  /**
   * Of two that agree with each other and contradict all else, so many are the same blunder made
   * twice: the same person, factor and pipette (common practice, no source).
   */
  private static final double REPEATED_SHARE = 0.5;

  /** For each blunder so many times a sound titration meets a probe that drifted unseen. */
  private static final double CHANGED_SHARE = 1;

  /** How far a probe drifts before someone notices, as a share (common practice, no source). */
  private static final double UNSEEN_DRIFT = 0.12;

  /** So little of the mixing wait is none: sums of step lengths are not exact. */
  private static final double MIXED_H = 1e-6;

  /** An addition not yet mixed in spoils a sample from this share of target on. */
  private static final double UNMIXED_SHARE = 0.01;

  /** Longest time between a doubtful sample and the one that confirms it. */
  private static final Duration CONFIRM_WITHIN = Duration.ofHours(36);

  private final TankSheet tank;
  private final double[] h;
  private double predicted;

  Titrations(EstimatorSheet sheet) {
    tank = sheet.tank();
    h = new double[sheet.states()];
  }

  void take(Belief belief, Titration titration) {
    Optional<Measured> read = Measured.of(tank, titration);
    if (read.isEmpty()) {
      return;
    }
    Measured result = read.get();
    double unmixed = belief.counter[Belief.UNMIXED];
    predict(belief, result.bias());
    double mean = predicted;
    double variance = Math.max(1e-12, belief.state.variance(h));
    double innovation = result.pct() - mean;
    double predictive = variance + result.uPct() * result.uPct() + unmixed * unmixed;
    boolean fits = innovation * innovation <= GATE_99 * predictive;
    boolean confirms = !fits && confirms(belief, titration, result, innovation);
    boolean repeats = fits && repeats(belief, titration, result);
    Verdict verdict =
        verdict(result.counts(), fits, confirms || repeats, innovation, unmixed, belief);
    remember(belief, titration, result, mean, predictive, verdict);
    double concentrationBefore = belief.concentrationVariance();
    Mixture mixture =
        confirms ? confirming(belief, result, unmixed, innovation) : alone(belief, result, unmixed);
    settle(belief, mixture, concentrationBefore);
  }

  /**
   * What a titration should read: the concentration times the bias of kit and operator, or of
   * another method.
   *
   * @param which the state that is this bias
   */
  private void predict(Belief belief, int which) {
    predict(belief, which, 1);
  }

  /** The same of one that is wrong by a factor. */
  private void predict(Belief belief, int which, double factor) {
    double c = belief.concentrationPct();
    double bias = factor * Math.exp(belief.state.x[which]);
    double v = belief.volumeL();
    predicted = c * bias;
    Arrays.fill(h, 0);
    h[Belief.ALKALI] = bias / v;
    h[Belief.VOLUME] = -bias * c / v;
    h[which] = bias * c;
  }

  /** Takes in what a good titration by the tank's kit will tell: the doubt shrinks. */
  void foresee(Belief belief) {
    double u = Measured.usualU(tank);
    predict(belief, Belief.TITRATION);
    belief.state.update(h, 0, u * u);
  }

  private Verdict verdict(
      boolean counts,
      boolean fits,
      boolean confirms,
      double innovation,
      double unmixed,
      Belief belief) {
    boolean spoilt =
        unmixed > UNMIXED_SHARE * tank.band().targetPct()
            && belief.counter[Belief.MIXING_LEFT_H] > MIXED_H;
    if (spoilt || belief.counter[Belief.CIRCULATING] == 0) {
      return Verdict.NOT_REPRESENTATIVE;
    }
    if (confirms) {
      return Verdict.CONFIRMS_DOUBTFUL;
    }
    if (fits) {
      return counts ? Verdict.ACCEPTED : Verdict.INDICATIVE;
    }
    return innovation > 0 ? Verdict.DOUBTFUL_HIGH : Verdict.DOUBTFUL_LOW;
  }

  /** Whether the verdict before was doubtful on the same side by about as much. */
  private boolean confirms(Belief belief, Titration titration, Measured result, double innovation) {
    Optional<TitrationVerdict> before = TitrationVerdict.lastThatCounts(belief.verdicts);
    if (before.isEmpty() || !result.counts()) {
      return false;
    }
    TitrationVerdict last = before.get();
    double missed = last.resultPct() - last.predictedPct();
    boolean doubtful =
        last.verdict() == Verdict.DOUBTFUL_HIGH || last.verdict() == Verdict.DOUBTFUL_LOW;
    Instant sampleAt = titration.stamp().happenedAt();
    boolean fresh =
        sampleAt.isAfter(last.sampleAt())
            && sampleAt.isBefore(last.sampleAt().plus(CONFIRM_WITHIN))
            && Recharge.ofThisBath(belief, last);
    double apart = innovation - missed;
    double tolerated = GATE_99 * (result.uPct() * result.uPct() + last.uPct() * last.uPct());
    return doubtful && fresh && apart * apart <= tolerated;
  }

  /** Whether a doubtful one before it, which has already moved the belief, read the same. */
  private boolean repeats(Belief belief, Titration titration, Measured result) {
    Optional<TitrationVerdict> before = TitrationVerdict.lastThatCounts(belief.verdicts);
    if (before.isEmpty()) {
      return false;
    }
    TitrationVerdict last = before.get();
    double tolerated = GATE_99 * (result.uPct() * result.uPct() + last.uPct() * last.uPct());
    double apart = result.pct() - last.resultPct();
    double missed = result.pct() - last.predictedPct();
    return confirms(belief, titration, result, last.resultPct() - last.predictedPct())
        && apart * apart <= tolerated
        && missed * missed > tolerated;
  }

  private static void remember(
      Belief belief,
      Titration titration,
      Measured result,
      double mean,
      double predictive,
      Verdict verdict) {
    List<TitrationVerdict> all = new ArrayList<>(belief.verdicts);
    all.add(
        new TitrationVerdict(
            titration.stamp().id(),
            titration.stamp().happenedAt(),
            result.pct(),
            result.asCountedPct(),
            result.uPct(),
            mean,
            Math.sqrt(predictive),
            verdict,
            titration.stamp().vouched()));
    belief.verdicts = List.copyOf(all.subList(Math.max(0, all.size() - KEPT), all.size()));
  }

  private Mixture alone(Belief belief, Measured result, double unmixed) {
    double share = Math.max(0, Math.min(1, result.blunderShare()));
    double changed = CHANGED_SHARE * share;
    double careless = share > 0 ? CARELESS_SHARE : 0;
    double sound = 1 - share - changed;
    Mixture mixture = new Mixture();
    double anything = 1 / (BLUNDER_RANGE * tank.band().targetPct());
    mixture.add(share / 2 * anything, belief.state.copy());
    addTypicalBlunders(mixture, share / 2, belief, result, unmixed);
    mixture.setApartSoFar();
    addSound(mixture, sound * (1 - careless), belief, result, unmixed, 1);
    addSound(mixture, sound * careless, belief, result, unmixed, CARELESS_TIMES);
    if (changed > 0) {
      Belief other = belief.copy();
      openToProbe(other);
      addSound(mixture, changed, other, result, unmixed, 1);
    }
    return mixture;
  }

  /** A second one against all else: either the bath is not what was believed, or the mistake is. */
  private Mixture confirming(Belief belief, Measured result, double unmixed, double innovation) {
    Mixture mixture = new Mixture();
    addTypicalBlunders(mixture, REPEATED_SHARE, belief, result, unmixed);
    mixture.setApartSoFar();
    Belief other = belief.copy();
    double missed = innovation * belief.volumeL();
    other.state.widen(Belief.ALKALI, missed * missed);
    addSound(mixture, 1 - REPEATED_SHARE, other, result, unmixed, 1);
    return mixture;
  }

  private void settle(Belief belief, Mixture mixture, double concentrationBefore) {
    belief.counter[Belief.BLUNDER] = mixture.setApart();
    mixture.into(belief.state);
    belief.bound(3 * tank.geometry().maximumL());
    belief.counter[Belief.FROM_BALANCE] +=
        belief.counter[Belief.FROM_TITRATION] + belief.counter[Belief.FROM_PROBE];
    belief.counter[Belief.FROM_TITRATION] = 0;
    belief.counter[Belief.FROM_PROBE] = 0;
    belief.credit(Belief.FROM_TITRATION, concentrationBefore);
  }

  /**
   * Adds mistakes that may be made again: a wrong factor or sample volume. Whoever takes twice the
   * sample counts its drops as well as any other, so such a result tells the concentration too.
   */
  private void addTypicalBlunders(
      Mixture mixture, double share, Belief belief, Measured result, double unmixed) {
    for (double factor : TYPICAL_BLUNDERS) {
      double u = BLUNDER_U * factor * belief.concentrationPct();
      addSound(
          mixture,
          share / TYPICAL_BLUNDERS.length,
          belief,
          result,
          Math.hypot(unmixed, u),
          1,
          factor);
    }
  }

  /** Lets the probe have drifted unseen, and with it the concentration that it was believed for. */
  private void openToProbe(Belief belief) {
    double c = belief.concentrationPct();
    belief.state.widen(
        Belief.ALKALI, belief.volumeL() * c, Belief.GAIN, -0.85, UNSEEN_DRIFT * UNSEEN_DRIFT);
  }

  private void addSound(
      Mixture mixture, double share, Belief belief, Measured result, double unmixed, double times) {
    addSound(mixture, share, belief, result, unmixed, times, 1);
  }

  private void addSound(
      Mixture mixture,
      double share,
      Belief belief,
      Measured result,
      double unmixed,
      double times,
      double factor) {
    if (!(share > 0)) {
      return;
    }
    predict(belief, result.bias(), factor);
    double mean = predicted;
    double before = Math.max(1e-12, belief.state.variance(h));
    Drops good = result.seen(mean, before, unmixed, times);
    Gaussian part = belief.state.copy();
    part.reshape(h, good.mean() - mean, good.variance());
    mixture.add(share * good.evidence(), part);
  }

  /** Whether {@code entry} is a titration that could be used. */
  static boolean known(Entry entry) {
    return entry instanceof Titration;
  }
}
