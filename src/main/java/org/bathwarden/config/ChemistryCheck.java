package org.bathwarden.config;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.function.BiFunction;
import java.util.function.Predicate;
import org.bathwarden.tank.ConductivityGrid;

/**
 * What a chemistry sheet says in right form and no alkali does. Each part that is sound in form is
 * looked at whether or not the others are, so that all that is wrong with a sheet is said at once.
 */
final class ChemistryCheck {

  /**
   * Above what any alkali in water reaches: KOH of 6 mol/L at 100 °C, near the best that there is,
   * 1644 mS/cm (Gilliam et al., Int. J. Hydrogen Energy 32 (2007) 359).
   */
  private static final double IMPOSSIBLE_MS_CM = 1700;

  /** Above what a wash bath usually reaches; 2 mol/L KOH passes it at 60 °C. Judgement. */
  private static final double UNUSUAL_MS_CM = 500;

  /**
   * Steepest fall of pH that heat alone can cause, 1/K: a hydroxide bath's follows pKw, which falls
   * by 0.041 for each K near 0 °C and less above (IAPWS R11-07).
   */
  private static final double STEEPEST_PH_PER_K = -0.045;

  /** Temperatures closer than this are one row, as the grid reads them, K. */
  private static final double SAME_ROW_K = 0.5;

  private record Point(Section section, double pct, double temperatureC, double msCm) {

    Point(Section section) {
      this(
          section,
          section.number("pct", Double.NaN),
          section.number("c", Double.NaN),
          section.number("ms_cm", Double.NaN));
    }

    String place() {
      return say("%s mS/cm at %s %% and %s °C", msCm, pct, temperatureC);
    }
  }

  private final Section root;
  private final List<Problem> problems;

  private ChemistryCheck(Section root, List<Problem> problems) {
    this.root = root;
    this.problems = problems;
  }

  static void of(Section root, Predicate<Section> sound, List<Problem> problems) {
    ChemistryCheck check = new ChemistryCheck(root, problems);
    if (sound.test(root.section("conductivity"))) {
      check.conductivity();
    }
    if (sound.test(root.section("ph"))) {
      check.ph(root.section("ph"));
    }
    Section metals = root.section("metals");
    for (String key : metals.keys()) {
      if (sound.test(metals.section(key))) {
        check.metal(metals.section(key));
      }
    }
    Section methods = root.section("methods");
    for (String key : methods.keys()) {
      if (sound.test(methods.section(key))) {
        check.method(methods.section(key));
      }
    }
    Section windows = root.section("temperature_c");
    for (String key : windows.keys()) {
      if (sound.test(windows.section(key))) {
        check.window(windows, key);
      }
    }
  }

  private void conductivity() {
    List<Point> points = root.list("conductivity").stream().map(Point::new).toList();
    if (points.stream().map(Point::pct).distinct().count() < 2) {
      problems.add(
          root.error("conductivity", "solutions of at least two concentrations are needed"));
    }
    above(
        points,
        IMPOSSIBLE_MS_CM,
        (point, more) ->
            point.section.error(
                "ms_cm",
                say(
                    "no alkali in water reaches %.0f mS/cm (%d points of this sheet do); is it"
                        + " µS/cm?",
                    IMPOSSIBLE_MS_CM, more)));
    // What is impossible would only make its neighbours look wrong.
    List<Point> possible = points.stream().filter(p -> p.msCm <= IMPOSSIBLE_MS_CM).toList();
    above(
        possible,
        UNUSUAL_MS_CM,
        (point, more) ->
            point.section.warning(
                "ms_cm",
                say(
                    "more than %.0f mS/cm is rare in a wash bath (%d points of this sheet)",
                    UNUSUAL_MS_CM, more)));
    List<List<Point>> rows = rows(possible);
    rows.forEach(this::risesWithStrength);
    risesWithTemperature(rows);
  }

  /** One problem for all: a sheet in another unit has one slip, not one for each of its points. */
  private void above(
      List<Point> points, double limit, BiFunction<Point, Integer, Problem> problem) {
    List<Point> above = points.stream().filter(point -> point.msCm > limit).toList();
    if (!above.isEmpty()) {
      problems.add(problem.apply(above.get(0), above.size()));
    }
  }

  /** Points of one temperature in order of strength, in order of temperature. */
  private static List<List<Point>> rows(List<Point> points) {
    List<List<Point>> rows = new ArrayList<>();
    points.stream()
        .sorted(Comparator.comparingDouble(Point::temperatureC))
        .forEach(
            point -> {
              List<Point> last = rows.isEmpty() ? List.of() : rows.get(rows.size() - 1);
              if (last.isEmpty() || point.temperatureC - last.get(0).temperatureC > SAME_ROW_K) {
                last = new ArrayList<>();
                rows.add(last);
              }
              last.add(point);
            });
    rows.forEach(row -> row.sort(Comparator.comparingDouble(Point::pct)));
    return rows;
  }

  /** Only the first slip of a row is told: the next may come from it. */
  private void risesWithStrength(List<Point> row) {
    for (int i = 1; i < row.size(); i++) {
      Point weaker = row.get(i - 1);
      Point point = row.get(i);
      if (point.pct == weaker.pct) {
        problems.add(point.section.error("", "is in the sheet already: " + weaker.place()));
        return;
      }
      if (point.msCm <= weaker.msCm) {
        problems.add(
            point.section.error(
                "ms_cm", "must rise with the concentration: already " + weaker.place()));
        return;
      }
    }
  }

  /** A row is held against the next colder one, read between its points as the grid reads it. */
  private void risesWithTemperature(List<List<Point>> rows) {
    for (int i = 1; i < rows.size(); i++) {
      double colderC = rows.get(i - 1).get(0).temperatureC;
      ConductivityGrid colder = grid(rows.get(i - 1));
      for (Point point : rows.get(i)) {
        OptionalDouble before = colder.conductivityMsCm(point.pct, colderC);
        if (before.isPresent() && point.msCm <= before.getAsDouble()) {
          problems.add(
              point.section.error(
                  "ms_cm",
                  say(
                      "must rise with the temperature: already %.1f mS/cm at %s °C",
                      before.getAsDouble(), colderC)));
          break;
        }
      }
    }
  }

  /** The points of one row alone, all at its temperature; of equal strengths the first. */
  private static ConductivityGrid grid(List<Point> row) {
    Map<Double, ConductivityGrid.Point> points = new TreeMap<>();
    row.forEach(
        point ->
            points.putIfAbsent(
                point.pct,
                new ConductivityGrid.Point(point.pct, row.get(0).temperatureC, point.msCm)));
    return new ConductivityGrid(List.copyOf(points.values()));
  }

  private void ph(Section ph) {
    double perK = ph.number("per_k", 0);
    if (perK > 0 || perK < STEEPEST_PH_PER_K) {
      problems.add(
          ph.error(
              "per_k",
              say(
                  "the pH of an alkali falls when it is heated: %s to 0; hydroxide about -0.03",
                  STEEPEST_PH_PER_K)));
    }
  }

  private void method(Section method) {
    String end = root.text("end_point", "");
    boolean known = end.equals("free") || end.equals("total");
    if (known && !method.text("end_point", "").equals(end)) {
      problems.add(
          method.error(
              "end_point",
              say(
                  "the sheet's concentrations refer to %s alkalinity; a method for the other one"
                      + " tells nothing of them",
                  end)));
    }
    if (method.has("valid_pct")) {
      window(method, "valid_pct");
    }
    if (method.number("soil_pct_per_day", 0) > 0 && method.truth("counts", true)) {
      problems.add(
          method.warning(
              "counts",
              "a method that reads soil as product stands for the titration that is due; false"
                  + " lets it move the estimate alone"));
    }
  }

  private void metal(Section metal) {
    if (metal.number("ph_low", 0) >= metal.number("ph_high", 15)) {
      problems.add(metal.error("ph_low", "must be below ph_high"));
    }
  }

  private void window(Section windows, String key) {
    if (windows.node().path(key).path(0).asDouble()
        >= windows.node().path(key).path(1).asDouble()) {
      problems.add(windows.error(key, "the first end must be below the second"));
    }
  }

  private static String say(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
