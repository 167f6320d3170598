package org.bathwarden.cycle;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.Sample;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankSheet;

/**
 * Compares what a totalizer counted with how far the level rose (line contract, controller rule 4):
 * a hose that came off, a pump that turns and moves nothing, a meter that lies. The mean of two
 * minutes before the flow is held against two minutes after it. Where loads moved, people poured,
 * both products flowed or the level's own noise is as large as the dose, there is no verdict. Plain
 * data.
 *
 * @param recent levels since the last flow or disturbance, thinned, of the last two minutes
 * @param dose the flow being watched
 * @param found what did not rise as it was counted, in the pass that judged it
 */
public record RiseWatch(List<Level> recent, Optional<Dose> dose, Optional<Mismatch> found) {

  /** Nothing seen yet. */
  public static final RiseWatch START =
      new RiseWatch(List.of(), Optional.empty(), Optional.empty());

  private static final Duration WINDOW = Duration.ofMinutes(2);
  private static final Duration THINNING = Duration.ofSeconds(5);

  /** What has flowed spreads, and the transmitter lags; judgement. */
  private static final Duration SETTLING = Duration.ofSeconds(30);

  /** A flow that takes longer is not judged: too much else may have happened; judgement. */
  private static final Duration LONGEST = Duration.ofMinutes(30);

  private static final int FEWEST = 12;

  /** Waves outlast the thinning, so that samples are worth fewer than they are; judgement. */
  private static final double CORRELATED = 2;

  /** How many standard uncertainties are no noise any more; judgement. */
  private static final double BEYOND = 4;

  /** Meter, thermal expansion and the tank's shape, share of the dose; judgement. */
  private static final double TOLERANCE_SHARE = 0.15;

  /** Least standard uncertainty of a level, share of the working volume; judgement. */
  private static final double LEAST_U_SHARE = 0.0005;

  /** Copies the list. */
  public RiseWatch {
    recent = List.copyOf(recent);
  }

  /**
   * A level.
   *
   * @param at when, steady clock
   * @param levelL level, L
   */
  public record Level(Instant at, double levelL) {}

  /**
   * Something that flows, or flowed.
   *
   * @param product what
   * @param beganAt when it began, steady clock
   * @param flowedAt when it last flowed
   * @param litres what the totalizer counted, L
   * @param meanL mean level before, L
   * @param uL its standard uncertainty, L
   */
  public record Dose(
      Product product, Instant beganAt, Instant flowedAt, double litres, double meanL, double uL) {}

  /**
   * A rise that does not fit.
   *
   * @param product what was counted
   * @param countedL what the totalizer counted, L
   * @param roseL how far the level rose, L
   */
  public record Mismatch(Product product, double countedL, double roseL) {}

  /**
   * Takes in one sample.
   *
   * @param booked whether people told of liquid that came or went in this pass
   */
  RiseWatch after(TankSheet tank, Sample sample, Estimate estimate, boolean booked) {
    boolean disturbed =
        booked
            || !sample.levelSettled()
            || !Double.isFinite(sample.levelL())
            || !(sample.loads() == 0);
    double concentrateL = litres(sample.concentrateMl());
    double waterL = litres(sample.waterMl());
    if (disturbed || (concentrateL > 0 && waterL > 0)) {
      return START;
    }
    if (concentrateL > 0 || waterL > 0) {
      Product product = concentrateL > 0 ? Product.CONCENTRATE : Product.WATER;
      return flowing(tank, sample, product, concentrateL + waterL);
    }
    boolean settling =
        dose.isPresent() && sample.at().isBefore(dose.get().flowedAt().plus(SETTLING));
    List<Level> levels = settling ? List.of() : window(sample);
    boolean due =
        dose.isPresent()
            && !sample.at().isBefore(dose.get().flowedAt().plus(SETTLING).plus(WINDOW));
    return due
        ? new RiseWatch(levels, Optional.empty(), judged(tank, levels, estimate, sample.at()))
        : new RiseWatch(levels, dose, Optional.empty());
  }

  private RiseWatch flowing(TankSheet tank, Sample sample, Product product, double litres) {
    if (dose.isEmpty() && recent.size() < FEWEST) {
      return START;
    }
    Dose watched =
        dose.orElseGet(
            () -> new Dose(product, sample.at(), sample.at(), 0, mean(recent), u(tank, recent)));
    boolean another = watched.product() != product;
    boolean tooLong = Duration.between(watched.beganAt(), sample.at()).compareTo(LONGEST) > 0;
    if (another || tooLong) {
      return START;
    }
    Dose more =
        new Dose(
            product,
            watched.beganAt(),
            sample.at(),
            watched.litres() + litres,
            watched.meanL(),
            watched.uL());
    return new RiseWatch(List.of(), Optional.of(more), Optional.empty());
  }

  private Optional<Mismatch> judged(
      TankSheet tank, List<Level> levels, Estimate estimate, Instant now) {
    Dose counted = dose.orElseThrow();
    if (levels.size() < FEWEST) {
      return Optional.empty();
    }
    double hours = Duration.between(counted.beganAt(), now).toMillis() / 3.6e6;
    double rose = mean(levels) - counted.meanL() + hours * estimate.evaporationLPerH();
    double threshold =
        BEYOND * Math.hypot(counted.uL(), u(tank, levels)) + TOLERANCE_SHARE * counted.litres();
    boolean tellable = threshold < counted.litres();
    return tellable && Math.abs(rose - counted.litres()) > threshold
        ? Optional.of(new Mismatch(counted.product(), counted.litres(), rose))
        : Optional.empty();
  }

  private List<Level> window(Sample sample) {
    Instant at = sample.at();
    if (!recent.isEmpty()
        && Duration.between(recent.get(recent.size() - 1).at(), at).compareTo(THINNING) < 0) {
      return recent;
    }
    List<Level> levels = new ArrayList<>(recent.size() + 1);
    for (Level level : recent) {
      if (Duration.between(level.at(), at).compareTo(WINDOW) <= 0) {
        levels.add(level);
      }
    }
    levels.add(new Level(at, sample.levelL()));
    return levels;
  }

  private static double mean(List<Level> levels) {
    return levels.stream().mapToDouble(Level::levelL).average().orElse(Double.NaN);
  }

  /** Standard uncertainty of the mean, L, from the levels' own scatter. */
  private static double u(TankSheet tank, List<Level> levels) {
    double mean = mean(levels);
    double squares =
        levels.stream().mapToDouble(l -> (l.levelL() - mean) * (l.levelL() - mean)).sum();
    double u = CORRELATED * Math.sqrt(squares / (levels.size() - 1) / levels.size());
    return Math.max(u, LEAST_U_SHARE * tank.geometry().workingL());
  }

  private static double litres(double ml) {
    return ml > 0 && Double.isFinite(ml) ? ml / 1000 : 0;
  }
}
