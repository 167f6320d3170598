package org.bathwarden.estimate;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.Geometry;

/**
 * Watches for liquid that leaves faster than anything explains: a leak, an open drain, a hose off.
 * Judged over ten minutes, since within less the level's own noise hides it; a gush is seen at
 * once. Plain data.
 *
 * @param points level and what came in by then, thinned, oldest first
 * @param inflowL what came in through meters and by hand since the start, less what was booked out,
 *     L
 * @param explainedL what evaporation and drag-out took since the start by the estimate, L
 */
public record LossWatch(List<Point> points, double inflowL, double explainedL) {

  /** Nothing seen yet. */
  public static final LossWatch START = new LossWatch(List.of(), 0, 0);

  /** Faster than so many times the explained loss is fast; judgement. */
  static final double TIMES_EXPLAINED = 3;

  private static final Duration WINDOW = Duration.ofMinutes(10);
  private static final Duration THINNING = Duration.ofSeconds(15);

  /** Level noise and surface waves, share of the working volume; judgement. */
  private static final double NOISE_SHARE = 0.02;

  /** An unexplained rise by this share of the working volume is no noise; judgement. */
  private static final double RISING_SHARE = 0.03;

  /** How much of the window must be seen before a rise is judged. */
  private static final Duration RISING_FOR = Duration.ofMinutes(9);

  /** Copies the list. */
  public LossWatch {
    points = List.copyOf(points);
  }

  /**
   * One kept level.
   *
   * @param at when, steady clock
   * @param levelL level, L
   * @param settled whether no load was moving
   * @param inflowL what had come in by then, L
   * @param explainedL what had been lost with an explanation by then, L
   */
  public record Point(
      Instant at, double levelL, boolean settled, double inflowL, double explainedL) {}

  /**
   * Takes in one sample.
   *
   * @param bookedL what people say came in (positive) or was removed (negative) in this pass, L
   */
  public LossWatch after(Sample sample, Estimate estimate, double bookedL) {
    Instant last = points.isEmpty() ? sample.at() : points.get(points.size() - 1).at();
    double hours = Math.max(0, Duration.between(last, sample.at()).toMillis() / 3.6e6);
    double metered = finite(sample.concentrateMl()) / 1000 + finite(sample.waterMl()) / 1000;
    double inflow = inflowL + metered + bookedL;
    double loads = finite(sample.loads()) * estimate.lossPerLoadL();
    boolean keep =
        Double.isFinite(sample.levelL())
            && (points.isEmpty() || Duration.between(last, sample.at()).compareTo(THINNING) >= 0);
    double explained = explainedL + loads + (keep ? hours * estimate.evaporationLPerH() : 0);
    if (!keep) {
      return new LossWatch(points, inflow, explained);
    }
    List<Point> next = new ArrayList<>(points.size() + 1);
    for (Point point : points) {
      if (Duration.between(point.at(), sample.at()).compareTo(WINDOW) <= 0) {
        next.add(point);
      }
    }
    next.add(new Point(sample.at(), sample.levelL(), sample.levelSettled(), inflow, explained));
    return new LossWatch(next, inflow, explained);
  }

  /**
   * A change of volume that nothing explains.
   *
   * @param litres how much, positive, L
   * @param cameInL what meters and entries say came in meanwhile, less what was booked out, L
   * @param within the time it took
   */
  public record Unexplained(double litres, double cameInL, Duration within) {

    /** Whether it is told by what was counted or booked in rather than by a fall of the level. */
    public boolean byBooking() {
      return cameInL > litres / 2;
    }
  }

  /** Whether liquid leaves faster than three times what explains it, beyond noise and loads. */
  public boolean fast(Geometry geometry) {
    return loss(geometry).isPresent();
  }

  /** What left so fast, judged from the moment that shows it best; empty if nothing did. */
  public Optional<Unexplained> loss(Geometry geometry) {
    if (points.size() < 3) {
      return Optional.empty();
    }
    Point now = points.get(points.size() - 1);
    double noise = NOISE_SHARE * geometry.workingL();
    Optional<Unexplained> worst = Optional.empty();
    double most = 0;
    for (Point then : points) {
      double came = now.inflowL() - then.inflowL();
      double lost = then.levelL() + came - now.levelL();
      double moved = then.settled() && now.settled() ? 0 : geometry.loadDisplacementL();
      double explained = now.explainedL() - then.explainedL();
      double beyond = lost - TIMES_EXPLAINED * explained - noise - moved;
      if (beyond > most) {
        most = beyond;
        Duration within = Duration.between(then.at(), now.at());
        worst = Optional.of(new Unexplained(lost - explained, came, within));
      }
    }
    return worst;
  }

  /**
   * Whether the level has been rising for some ten minutes with no meter and no entry to explain
   * it, and in a settled state: a siphon, a valve that passes. A pour, which is a step, is not
   * meant: each third of the time must have its share.
   *
   * @return what came in; empty if it does not rise
   */
  public Optional<Unexplained> rise(Geometry geometry) {
    if (points.size() < 4) {
      return Optional.empty();
    }
    int last = points.size() - 1;
    Point[] marks = {
      points.get(0), points.get(last / 3), points.get(2 * last / 3), points.get(last)
    };
    Duration within = Duration.between(marks[0].at(), marks[3].at());
    double cameL = came(marks[0], marks[3]);
    boolean rising =
        within.compareTo(RISING_FOR) >= 0 && cameL > RISING_SHARE * geometry.workingL();
    for (int i = 0; i < 3; i++) {
      rising &=
          marks[i].settled()
              && marks[i + 1].settled()
              && came(marks[i], marks[i + 1]) > RISING_SHARE / 6 * geometry.workingL();
    }
    return rising
        ? Optional.of(new Unexplained(cameL, marks[3].inflowL() - marks[0].inflowL(), within))
        : Optional.empty();
  }

  /** What came in between that nothing explains; losses are not counted on, L. */
  private static double came(Point then, Point now) {
    return now.levelL() - then.levelL() - (now.inflowL() - then.inflowL());
  }

  private static double finite(double value) {
    return Double.isFinite(value) ? value : 0;
  }
}
