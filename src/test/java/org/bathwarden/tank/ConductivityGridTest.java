package org.bathwarden.tank;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.tank.ConductivityGrid.Point;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The grid against published conductivities. */
class ConductivityGridTest {

  /** A sheet as a site measures it: a row at working temperature and a few points below. */
  private static final ConductivityGrid SHEET =
      new ConductivityGrid(
          List.of(
              new Point(2, 60, 20),
              new Point(4, 60, 38),
              new Point(6, 60, 53),
              new Point(8, 60, 66),
              new Point(4, 25, 22),
              new Point(4, 45, 31),
              new Point(6, 45, 43)));

  private static List<Point> kcl(boolean everySecond) {
    List<Point> points = new ArrayList<>();
    for (ReferenceTable.Row row : ReferenceTable.load("conductivity-kcl-standards.csv").rows()) {
      String solution = row.text("solution");
      double t = row.number("temperature_C");
      if (solution.endsWith("mol/kg") && (!everySecond || t % 10 == 0)) {
        double molal = Double.parseDouble(solution.split(" ")[0]);
        points.add(new Point(molal, t, row.number("conductivity_uS_cm") / 1000));
      }
    }
    return points;
  }

  @Test
  void givesBackEveryKclStandard() {
    // conductivity-kcl-standards.csv (CRC Handbook): 0.1 % for a look-up.
    ConductivityGrid grid = new ConductivityGrid(kcl(false));
    for (Point point : grid.points()) {
      double found =
          grid.conductivityMsCm(point.concentrationPct(), point.temperatureC()).orElseThrow();
      assertEquals(point.conductivityMsCm(), found, 1e-9 * point.conductivityMsCm());
    }
    assertTrue(grid.points().size() > 30);
  }

  @Test
  void findsTheKclStandardsBetweenItsRows() {
    // The rows at 0, 10, 20 ... predict those at 5, 15, 25 ...; 0.3 % by the same table.
    ConductivityGrid half = new ConductivityGrid(kcl(true));
    int checked = 0;
    for (Point point : kcl(false)) {
      if (point.temperatureC() % 10 == 5) {
        double found =
            half.conductivityMsCm(point.concentrationPct(), point.temperatureC()).orElse(0);
        boolean inside = point.temperatureC() < 50 && found > 0;
        if (inside) {
          assertEquals(point.conductivityMsCm(), found, 0.003 * point.conductivityMsCm());
          checked++;
        }
      }
    }
    assertTrue(checked >= 12, "checked " + checked);
  }

  @Test
  void worksTheKclExample() {
    // worked-examples.md 13: 0.01 mol/kg at 22.0 °C, linear between 20 and 25 °C: 1327.11 µS/cm.
    ConductivityGrid grid =
        new ConductivityGrid(List.of(new Point(0.01, 20, 1.27303), new Point(0.01, 25, 1.40823)));
    assertEquals(1.32711, grid.conductivityMsCm(0.01, 22).orElseThrow(), 0.000005);
  }

  @Test
  void worksTheCausticExample() {
    // worked-examples.md 11: CRC rows 0.5 % = 24.8 and 1.0 % = 48.6 mS/cm at 20 °C, 48.1008 read.
    ConductivityGrid grid =
        new ConductivityGrid(List.of(new Point(0.5, 20, 24.8), new Point(1.0, 20, 48.6)));
    assertEquals(0.9895, grid.concentrationPct(48.1008, 20).orElseThrow(), 0.00005);
  }

  @Test
  void findsPublishedCausticThatIsLeftOut() {
    // conductivity-vs-concentration-20C.csv (CRC Handbook), 3 % for a model against the table: the
    // rows 0.5, 2 and 5 % of NaOH predict that of 1 %. Carbonate curves too much for such a wide
    // gap.
    ReferenceTable table = ReferenceTable.load("conductivity-vs-concentration-20C.csv");
    List<Point> points = new ArrayList<>();
    double expected = Double.NaN;
    for (ReferenceTable.Row row : table.where("solute", "NaOH")) {
      double pct = row.number("mass_percent");
      if (pct == 1) {
        expected = row.number("conductivity_mS_cm");
      } else {
        points.add(new Point(pct, 20, row.number("conductivity_mS_cm")));
      }
    }
    double found = new ConductivityGrid(points).conductivityMsCm(1, 20).orElseThrow();
    assertEquals(expected, found, 0.03 * expected);
  }

  @ParameterizedTest
  @ValueSource(strings = {"NaOH", "Na2CO3"})
  void givesBackEveryPublishedSolution(String solute) {
    // The same table: 0.05 mS/cm or 0.5 % for a look-up, 20 °C.
    ReferenceTable table = ReferenceTable.load("conductivity-vs-concentration-20C.csv");
    List<Point> points = new ArrayList<>();
    for (ReferenceTable.Row row : table.where("solute", solute)) {
      points.add(new Point(row.number("mass_percent"), 20, row.number("conductivity_mS_cm")));
    }
    ConductivityGrid grid = new ConductivityGrid(points);
    for (Point point : points) {
      double found = grid.conductivityMsCm(point.concentrationPct(), 20).orElseThrow();
      double tolerance = Math.max(0.05, 0.005 * point.conductivityMsCm());
      assertEquals(point.conductivityMsCm(), found, tolerance);
      assertEquals(
          point.concentrationPct(),
          grid.concentrationPct(point.conductivityMsCm(), 20).orElseThrow(),
          0.005 * point.concentrationPct());
    }
  }

  @Test
  void aSparseSheetFollowsHotCaustic() {
    // conductivity-naoh-hot.csv (after McCleskey et al. 2012), 5 %: the row at 60 °C with single
    // points at 20 and 40 °C predicts the other concentrations between 20 and 60 °C.
    List<ReferenceTable.Row> rows = ReferenceTable.load("conductivity-naoh-hot.csv").rows();
    List<Point> points = new ArrayList<>();
    for (ReferenceTable.Row row : rows) {
      double t = row.number("temperature_C");
      double c = row.number("mass_percent");
      if (t == 60 || (c == 2 && (t == 20 || t == 40))) {
        points.add(new Point(c, t, row.number("conductivity_mS_cm")));
      }
    }
    ConductivityGrid grid = new ConductivityGrid(points);
    int checked = 0;
    for (ReferenceTable.Row row : rows) {
      double t = row.number("temperature_C");
      if (t <= 60) {
        double expected = row.number("conductivity_mS_cm");
        double found = grid.conductivityMsCm(row.number("mass_percent"), t).orElseThrow();
        assertEquals(expected, found, 0.05 * expected, row.toString());
        checked++;
      }
    }
    assertEquals(30, checked);
  }

  @Test
  void risesWithConcentrationAndTemperature() {
    for (double t = 25; t <= 60; t += 2.5) {
      double last = 0;
      for (double c = 2; c <= 8; c += 0.05) {
        double kappa = SHEET.conductivityMsCm(Math.min(c, 8), t).orElseThrow();
        assertTrue(kappa > last, c + " % at " + t + " °C");
        last = kappa;
      }
    }
    assertTrue(
        SHEET.conductivityMsCm(5, 50).orElseThrow() < SHEET.conductivityMsCm(5, 51).orElseThrow());
  }

  @Test
  void neverExtrapolates() {
    OptionalDouble none = OptionalDouble.empty();
    assertEquals(none, SHEET.conductivityMsCm(1.99, 60));
    assertEquals(none, SHEET.conductivityMsCm(8.01, 60));
    assertEquals(none, SHEET.conductivityMsCm(4, 24.9));
    assertEquals(none, SHEET.conductivityMsCm(4, 60.1));
    assertEquals(none, SHEET.concentrationPct(19.9, 60));
    assertEquals(none, SHEET.concentrationPct(66.1, 60));
  }

  @Test
  void knowsNothingOfNaNAndOfAnEmptyGrid() {
    OptionalDouble none = OptionalDouble.empty();
    assertEquals(none, SHEET.conductivityMsCm(Double.NaN, 60));
    assertEquals(none, SHEET.conductivityMsCm(4, Double.NaN));
    assertEquals(none, SHEET.concentrationPct(Double.NaN, 60));
    assertEquals(none, new ConductivityGrid(List.of()).conductivityMsCm(4, 60));
    Point bad = new Point(Double.NaN, 60, 10);
    assertEquals(none, new ConductivityGrid(List.of(bad)).conductivityMsCm(4, 60));
  }

  @Test
  void concentrationUndoesConductivity() {
    for (double c = 2; c <= 8; c += 0.37) {
      double kappa = SHEET.conductivityMsCm(c, 52).orElseThrow();
      assertEquals(c, SHEET.concentrationPct(kappa, 52).orElseThrow(), 1e-9);
    }
  }
}
