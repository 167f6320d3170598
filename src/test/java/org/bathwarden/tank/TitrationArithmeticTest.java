package org.bathwarden.tank;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.tank.TitrationArithmetic.Result;
import org.bathwarden.tank.TitrationArithmetic.Split;
import org.bathwarden.tank.TitrationKit.FactorFrom;
import org.junit.jupiter.api.Test;

/**
 * Against the tables of titration arithmetic (Standard Methods 2320, stoichiometry) and of
 * published uncertainty examples (JCGM 100:2008; EURACHEM/CITAC Guide QUAM, A2), and worked
 * examples 7 to 10.
 */
class TitrationArithmeticTest {

  private static final ReferenceTable TITRATION = ReferenceTable.load("titration-examples.csv");
  private static final ReferenceTable UNCERTAINTY = ReferenceTable.load("uncertainty-examples.csv");

  private static double titration(String formula, String inputs) {
    return TITRATION.where("inputs", inputs).stream()
        .filter(row -> row.text("formula").equals(formula))
        .findFirst()
        .orElseThrow()
        .number("result");
  }

  private static double quam(String quantity) {
    return UNCERTAINTY.where("quantity", quantity).stream()
        .filter(row -> row.text("example").equals("QUAM A2"))
        .findFirst()
        .orElseThrow()
        .number("value");
  }

  @Test
  void fourteenDropsOfAFactorFromNormality() {
    Result result =
        TitrationArithmetic.drops(14, new TitrationKit(0.35, FactorFrom.NORMALITY, 0, 0))
            .orElseThrow();
    double counted =
        titration(
            "n*F",
            "14 drops counted (the further drop that changes nothing is not counted), F 0.35"
                + " percent per drop");
    double half = titration("mean bias = +step/2 (midpoint n - 1/2)", "step 0.35 percent");
    assertEquals(counted, result.asCounted(), 5e-3);
    assertEquals(4.90 - 0.175, result.corrected(), 5e-5);
    assertEquals(half, result.asCounted() - result.corrected(), 5e-5);
    assertEquals(titration("u = step/sqrt(12)", "step 0.35 percent"), result.u(), 5e-5);
    assertTrue(new Band(5, 3, 7).contains(result.corrected()));
  }

  @Test
  void aCountedFactorHoldsTheHalfDropAlready() {
    Result result =
        TitrationArithmetic.drops(14, new TitrationKit(0.35, FactorFrom.COUNTED, 0, 0))
            .orElseThrow();
    assertEquals(4.90, result.corrected(), 1e-9);
  }

  @Test
  void drawnEndPointsScatterAsStated() {
    // The truth lies anywhere in the last drop, the operator's own scatter comes on top.
    TitrationKit kit = new TitrationKit(0.35, FactorFrom.NORMALITY, 0.4, 0);
    Random random = new Random(3);
    double sum = 0;
    double squares = 0;
    int n = 200_000;
    for (int i = 0; i < n; i++) {
      double need = 10 + 5 * random.nextDouble();
      double counted = Math.ceil(need + 0.4 * random.nextGaussian());
      double error =
          TitrationArithmetic.drops(counted, kit).orElseThrow().corrected() - 0.35 * need;
      sum += error;
      squares += error * error;
    }
    assertEquals(0, sum / n, 0.002);
    double stated = TitrationArithmetic.drops(12, kit).orElseThrow().u();
    assertEquals(Math.sqrt(squares / n), stated, 0.002);
  }

  @Test
  void theFactorOfADrop() {
    double expected =
        titration("F = 39.997*N*v/(10*S) for NaOH", "N 1.000, drop v 0.05 mL, S 1.0 mL");
    assertEquals(expected, TitrationArithmetic.pctPerDrop(39.997, 1.0, 0.05, 1.0), 5e-5);
  }

  @Test
  void causticAndCarbonateByBurette() {
    assertEquals(
        titration("V*N*39.997/(10*S)", "V 6.30 mL, N 0.5000, sample S 10.00 mL"),
        burette(6.30, 0, 0.5, 3.9997, 10).asCounted(),
        5e-5);
    assertEquals(
        titration("V*N*52.994/(10*S)", "V 9.50 mL, N 0.5000, S 25.00 mL"),
        burette(9.50, 0, 0.5, 5.2994, 25).asCounted(),
        5e-5);
    // Worked example 8: 0.3150 mol/L, the factor being 1.
    assertEquals(0.3150, burette(6.30, 0, 0.5, 1, 10).asCounted(), 5e-5);
    // A blank is taken off.
    assertEquals(0.3150, burette(6.45, 0.15, 0.5, 1, 10).asCounted(), 5e-5);
  }

  @Test
  void readingsAndRelativeDoubtAdd() {
    // By hand: 6.30·0.5·3.9997/10 = 1.25991 %, times 0.5 % = 0.0062995; two readings of 0.0144 mL
    // at 0.199985 %/mL give 0.0040727; together 0.0075013.
    Result result =
        TitrationArithmetic.burette(6.30, 0, 0.5, 3.9997, 10, 0.005, 0.0144).orElseThrow();
    assertEquals(0.0075013, result.u(), 5e-7);
  }

  @Test
  void alkalinityAndItsSplit() {
    assertEquals(
        titration("A*N*50000/V", "A 18 mL, N 0.02, V 50 mL"),
        TitrationArithmetic.alkalinityMgL(18, 0.02, 50),
        0.05);
    assertEquals(
        titration("A*N*50000/V", "A 12.40 mL, N 0.0200, V 100 mL"),
        TitrationArithmetic.alkalinityMgL(12.40, 0.02, 100),
        0.05);
    Map<Double, Split> expected =
        Map.of(
            0.0, new Split(0, 0, 80),
            50.0, new Split(20, 60, 0),
            40.0, new Split(0, 80, 0),
            20.0, new Split(0, 40, 40),
            80.0, new Split(80, 0, 0));
    for (Map.Entry<Double, Split> each : expected.entrySet()) {
      Split split = each.getValue();
      String row =
          String.format(
              java.util.Locale.ROOT,
              "OH %.0f; CO3 %.0f; HCO3 %.0f",
              split.hydroxide(),
              split.carbonate(),
              split.hydrogenCarbonate());
      String inputs =
          String.format(java.util.Locale.ROOT, "P %.0f, T 80 mg/L as CaCO3", each.getKey());
      assertEquals(row, TITRATION.where("inputs", inputs).get(0).text("result"));
      assertEquals(Optional.of(split), TitrationArithmetic.split(each.getKey(), 80));
    }
    assertEquals(Optional.empty(), TitrationArithmetic.split(90, 80));
  }

  @Test
  void aStandardisedTitrantAsInTheGuide() {
    // Uniform ±0.15 mg twice: 0.15·√2/√3 mg; purity 0.0005/√3; volume 0.03/√6 and 0.006.
    Result result =
        TitrationArithmetic.standardise(
                0.3888,
                0.15e-3 * Math.sqrt(2.0 / 3),
                1.0,
                0.0005 / Math.sqrt(3),
                quam("M_KHP"),
                18.64,
                Math.hypot(0.03 / Math.sqrt(6), 0.006),
                0.0005)
            .orElseThrow();
    assertEquals(quam("c_NaOH"), result.corrected(), 5e-6);
    assertEquals(0.1021362, result.corrected(), 5e-8);
    assertEquals(quam("standard uncertainty"), result.u(), 5e-6);
    assertEquals(0.0001005, result.u(), 5e-8);
  }

  @Test
  void whatNoTitrationGivesIsNoResult() {
    TitrationKit kit = new TitrationKit(0.35, FactorFrom.NORMALITY, 0, 0);
    for (double drops : new double[] {-1, 1.5, Double.NaN, Double.POSITIVE_INFINITY}) {
      assertEquals(Optional.empty(), TitrationArithmetic.drops(drops, kit));
    }
    for (double factor : new double[] {0, -1, Double.NaN}) {
      assertEquals(
          Optional.empty(),
          TitrationArithmetic.drops(3, new TitrationKit(factor, FactorFrom.COUNTED, 0, 0)));
    }
    assertEquals(
        Optional.empty(), TitrationArithmetic.burette(1, 2, 0.5, 4, 10, 0, 0), "blank above");
    assertEquals(Optional.empty(), TitrationArithmetic.burette(1, 0, Double.NaN, 4, 10, 0, 0));
    assertEquals(Optional.empty(), TitrationArithmetic.standardise(0, 0, 1, 0, 204, 18, 0, 0));
  }

  private static Result burette(
      double titrantMl, double blankMl, double normality, double factor, double sampleMl) {
    return TitrationArithmetic.burette(titrantMl, blankMl, normality, factor, sampleMl, 0, 0)
        .orElseThrow();
  }
}
