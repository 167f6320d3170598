package org.bathwarden.tank;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalDouble;

/**
 * Conductivity of fresh solutions of one product against concentration and temperature, as measured
 * at commissioning or given by the product sheet. Points of one temperature form a row. Between the
 * points of a row the value follows a monotone cubic (Fritsch and Carlson, SIAM J. Numer. Anal. 17
 * (1980) 238), between rows a straight line. Where a row has too few points, the fullest row lends
 * its shape. Nothing is ever extrapolated.
 *
 * @param points the measured solutions
 */
public record ConductivityGrid(List<Point> points) {

  /** Temperatures closer than this belong to one row, K. */
  private static final double SAME_ROW_K = 0.5;

  /** Copies the list. */
  public ConductivityGrid {
    points = List.copyOf(points);
  }

  /**
   * One measured solution.
   *
   * @param concentrationPct % by volume
   * @param temperatureC °C
   * @param conductivityMsCm raw conductivity at that temperature, mS/cm
   */
  public record Point(double concentrationPct, double temperatureC, double conductivityMsCm) {

    private boolean usable() {
      return concentrationPct >= 0
          && conductivityMsCm > 0
          && Double.isFinite(concentrationPct)
          && Double.isFinite(temperatureC)
          && Double.isFinite(conductivityMsCm);
    }
  }

  /**
   * Conductivity of a fresh solution, mS/cm.
   *
   * @param concentrationPct % by volume
   * @param temperatureC °C
   * @return empty outside the measured range, for NaN, and for a grid without usable points
   */
  public OptionalDouble conductivityMsCm(double concentrationPct, double temperatureC) {
    List<Row> rows = rows();
    if (rows.isEmpty()) {
      return OptionalDouble.empty();
    }
    Row fullest = rows.get(0);
    for (Row row : rows) {
      fullest = row.size() > fullest.size() ? row : fullest;
    }
    if (!fullest.covers(concentrationPct)) {
      return OptionalDouble.empty();
    }
    for (int i = 0; i < rows.size(); i++) {
      Row low = rows.get(i);
      Row high = rows.get(Math.min(i + 1, rows.size() - 1));
      if (temperatureC >= low.temperatureC && temperatureC <= high.temperatureC) {
        double span = high.temperatureC - low.temperatureC;
        double share = span > 0 ? (temperatureC - low.temperatureC) / span : 0;
        double from = low.at(concentrationPct, fullest);
        return OptionalDouble.of(from + share * (high.at(concentrationPct, fullest) - from));
      }
    }
    return OptionalDouble.empty();
  }

  /**
   * Concentration of the fresh solution that conducts like this, % by volume.
   *
   * @param conductivityMsCm raw conductivity, mS/cm
   * @param temperatureC °C
   * @return empty outside the measured range, for NaN, and for a grid without usable points
   */
  public OptionalDouble concentrationPct(double conductivityMsCm, double temperatureC) {
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (Point point : points) {
      if (point.usable() && conductivityMsCm(point.concentrationPct, temperatureC).isPresent()) {
        low = Math.min(low, point.concentrationPct);
        high = Math.max(high, point.concentrationPct);
      }
    }
    if (!(low < high)
        || !(conductivityMsCm >= conductivityMsCm(low, temperatureC).orElse(Double.NaN))
        || !(conductivityMsCm <= conductivityMsCm(high, temperatureC).orElse(Double.NaN))) {
      return OptionalDouble.empty();
    }
    // Sixty halvings leave nothing of a double's digits.
    for (int i = 0; i < 60; i++) {
      double middle = (low + high) / 2;
      if (conductivityMsCm(middle, temperatureC).orElse(Double.NaN) < conductivityMsCm) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return OptionalDouble.of((low + high) / 2);
  }

  private List<Row> rows() {
    List<Point> sorted =
        points.stream()
            .filter(Point::usable)
            .sorted(Comparator.comparingDouble(Point::temperatureC))
            .toList();
    List<Row> rows = new ArrayList<>();
    int from = 0;
    for (int i = 1; i <= sorted.size(); i++) {
      if (i == sorted.size()
          || sorted.get(i).temperatureC - sorted.get(from).temperatureC > SAME_ROW_K) {
        rows.add(new Row(sorted.subList(from, i)));
        from = i;
      }
    }
    return rows;
  }

  /** Points of one temperature, in order of concentration; of equal ones the first counts. */
  private static final class Row {

    private final double temperatureC;
    private final double[] pct;
    private final double[] kappa;

    Row(List<Point> same) {
      temperatureC = same.get(0).temperatureC;
      List<Point> sorted = new ArrayList<>();
      same.stream()
          .sorted(Comparator.comparingDouble(Point::concentrationPct))
          .forEach(
              point -> {
                boolean first =
                    sorted.isEmpty()
                        || sorted.get(sorted.size() - 1).concentrationPct < point.concentrationPct;
                if (first) {
                  sorted.add(point);
                }
              });
      pct = sorted.stream().mapToDouble(Point::concentrationPct).toArray();
      kappa = sorted.stream().mapToDouble(Point::conductivityMsCm).toArray();
    }

    int size() {
      return pct.length;
    }

    boolean covers(double concentrationPct) {
      return concentrationPct >= pct[0] && concentrationPct <= pct[pct.length - 1];
    }

    /** Value of this row, with the shape of {@code fullest} where it has no points. */
    double at(double concentrationPct, Row fullest) {
      if (covers(concentrationPct)) {
        return inside(concentrationPct);
      }
      int end = concentrationPct < pct[0] ? 0 : pct.length - 1;
      double anchor = Math.max(fullest.pct[0], Math.min(pct[end], fullest.pct[fullest.size() - 1]));
      return fullest.inside(concentrationPct) * kappa[end] / fullest.inside(anchor);
    }

    private double inside(double concentrationPct) {
      int i = 0;
      while (i < pct.length - 2 && concentrationPct > pct[i + 1]) {
        i++;
      }
      if (pct.length == 1) {
        return kappa[0];
      }
      double width = pct[i + 1] - pct[i];
      double t = (concentrationPct - pct[i]) / width;
      double u = 1 - t;
      return kappa[i] * u * u * (1 + 2 * t)
          + kappa[i + 1] * t * t * (3 - 2 * t)
          + width * t * u * (slope(i) * u - slope(i + 1) * t);
    }

    /** Slope at a point: the harmonic mean of its neighbours' chords, or the chord at an end. */
    private double slope(int i) {
      if (i == 0) {
        return chord(0);
      }
      if (i == pct.length - 1) {
        return chord(i - 1);
      }
      double before = chord(i - 1);
      double after = chord(i);
      return before * after > 0 ? 2 * before * after / (before + after) : 0;
    }

    private double chord(int i) {
      return (kappa[i + 1] - kappa[i]) / (pct[i + 1] - pct[i]);
    }
  }
}
