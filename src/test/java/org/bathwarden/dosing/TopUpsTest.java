package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Literal values without another source are the worked examples 1 to 6, 20 and 22 of the reference
 * tables: balances that can be recomputed by hand, to the digits shown.
 */
class TopUpsTest {

  private static final double ROOM = 1e6;
  private static final ReferenceTable MIXING = ReferenceTable.load("mixing-examples.csv");
  private static final ReferenceTable WASHOUT = ReferenceTable.load("dragout-rinse-formulas.csv");

  private static TopUpInput bath(double volume, double pct, double toVolume, double toPct) {
    return new TopUpInput(volume, pct, toVolume, toPct, toPct, ROOM, 0, 100, 0);
  }

  private static TopUpInput limited(TopUpInput in, double highPct, double maximumL) {
    return new TopUpInput(
        in.volumeL(),
        in.concentrationPct(),
        in.targetVolumeL(),
        in.targetPct(),
        highPct,
        maximumL,
        in.lowGuardL(),
        in.strengthPct(),
        in.waterPct());
  }

  private static TopUp.Add add(TopUpInput in) {
    return assertInstanceOf(TopUp.Add.class, TopUps.plan(in));
  }

  @Test
  void aFreshFillFromAlmostNothing() {
    // Example 1: 800 L at 4.0 % from neat: 32.0 L and 768.0 L. A tank is never quite empty here.
    TopUp.Add plan = add(bath(1e-9, 0, 800, 4));
    assertEquals(32.0, plan.concentrateL(), 0.05);
    assertEquals(768.0, plan.waterL(), 0.05);
    // The same balance for the table's row: 100 L at 3 % is 3 L and 97 L.
    assertEquals("3 L concentrate, 97 L water", row("100 L at 3 % from neat concentrate"));
    TopUp.Add small = add(bath(1e-9, 0, 100, 3));
    assertEquals(3, small.concentrateL(), 1e-6);
    assertEquals(97, small.waterL(), 1e-6);
  }

  @Test
  void upwardWithTheLevelFreeToRise() {
    // Example 2: 6.2500 L, final 756.2500 L.
    TopUp.Add plan = add(bath(750, 3.2, 750, 4));
    assertEquals(6.25, plan.concentrateL(), 5e-5);
    assertEquals(0, plan.waterL());
    assertEquals(756.25, plan.endVolumeL(), 5e-5);
    assertEquals(4.0, plan.endConcentrationPct(), 5e-5);
    assertEquals(Product.CONCENTRATE, plan.first());
    assertEquals(
        "X = V0 (C1-C0)/(S-C1) = 8.4211 L", row("V0 400 L, C0 3.0, target 5.0, neat S 100"));
    assertEquals(8.4211, add(bath(400, 3, 400, 5)).concentrateL(), 5e-5);
  }

  @Test
  void downwardWithinTheRoomOnly() {
    // Example 3: needs 281.25 L to 1031.25 L; 900 L reach 4.5833 %; or drain 95.4545 L first.
    TopUpInput strong = bath(750, 5.5, 750, 4);
    TopUp.Add free = add(strong);
    assertEquals(281.25, free.waterL(), 5e-3);
    assertEquals(1031.25, free.endVolumeL(), 5e-3);
    TopUp.Add roomy = add(limited(strong, 4, 900));
    assertEquals(150, roomy.waterL(), 1e-9);
    assertEquals(4.5833, roomy.endConcentrationPct(), 5e-5);
    TopUp.Drain drain = TopUps.drainForStrong(limited(strong, 4, 900)).orElseThrow();
    assertEquals(95.4545, drain.drainL(), 5e-5);
    assertEquals(245.4545, drain.waterL(), 5e-5);
    assertTrue(roomy.drain().isEmpty(), "a drain is no default answer to a strong bath");
    assertEquals("W = V0 (C0-C1)/C1 = 80.0 L", row("V0 400 L, C0 6.0, target 5.0"));
    assertEquals(80.0, add(bath(400, 6, 400, 5)).waterL(), 5e-2);
  }

  @Test
  void aTableRowThatNeedsADrain() {
    assertEquals(
        "K = 714.2857 L, drain 265.7143 L",
        row("keep volume K with 7.0 %, then water to 1000 L at 5.0 %"));
    TopUp.Drain drain =
        TopUps.drainForStrong(limited(bath(980, 7, 1000, 5), 5, 1000)).orElseThrow();
    assertEquals(265.7143, drain.drainL(), 5e-5);
    assertEquals(1000 - 714.2857, drain.waterL(), 5e-5);
  }

  @Test
  void aStrongBathBelowItsHighLimitIsOnlyFilledToTheLevel() {
    TopUp.Add plan = add(limited(bath(980, 5.5, 1000, 5), 6, 1100));
    assertEquals(0, plan.concentrateL());
    assertEquals(20, plan.waterL(), 1e-9);
    assertInstanceOf(TopUp.Hold.class, TopUps.plan(limited(bath(1000, 5.5, 1000, 5), 6, 1100)));
  }

  @Test
  void levelAndStrengthTogether() {
    // Example 4 and the table's row: 14.30 L and 135.70 L. Example 5: 14.00 L and 86.00 L.
    assertEquals("X = 14.30 L, W = 135.70 L", row("V0 850 L, C0 4.2, V1 1000 L, C1 5.0, S 100"));
    TopUp.Add neat = add(bath(850, 4.2, 1000, 5));
    assertEquals(14.30, neat.concentrateL(), 5e-3);
    assertEquals(135.70, neat.waterL(), 5e-3);
    assertEquals(5, neat.endConcentrationPct(), 5e-4);
    TopUp.Add diluted = add(new TopUpInput(600, 3.5, 700, 4, 4, ROOM, 0, 50, 0));
    assertEquals(14.00, diluted.concentrateL(), 5e-3);
    assertEquals(86.00, diluted.waterL(), 5e-3);
  }

  @Test
  void theSameLevelFallOfTwoCauses() {
    // Example 6: (a) evaporation: 60 L of water only. (b) drag-out: 2.40 L and 57.60 L; with water
    // only 3.6800 %.
    TopUp.Add evaporated = add(bath(690, 750 * 4.0 / 690, 750, 4));
    assertEquals(0, evaporated.concentrateL(), 1e-9);
    assertEquals(60.0, evaporated.waterL(), 1e-6);
    TopUp.Add dragged = add(bath(690, 4, 750, 4));
    assertEquals(2.40, dragged.concentrateL(), 5e-3);
    assertEquals(57.60, dragged.waterL(), 5e-3);
    assertEquals(3.6800, TopUps.strengthAfterPct(bath(690, 4, 750, 4), 0, 60), 5e-5);
  }

  @Test
  void alligationRowsOfTheTable() {
    assertEquals("180 L of 30 %", row("30 % with 90 L of 60 % to 40 %"));
    // 180 L of 30 % taken as the bath: it wants 90 L of 60 %.
    TopUp.Add plan = add(new TopUpInput(180, 30, 180, 40, 40, ROOM, 0, 60, 0));
    assertEquals(90, plan.concentrateL(), 1e-9);
    assertEquals("12 mL of 50 %, 8 mL of 100 %", row("50 % and 100 % to 70 %, 20 mL"));
    assertEquals(8, add(bath(12, 50, 12, 70)).concentrateL(), 1e-9);
  }

  @Test
  void concentrateFirstWhenWeakWaterFirstNearTheGuard() {
    assertEquals(Product.CONCENTRATE, add(bath(850, 4.2, 1000, 5)).first());
    TopUpInput low = new TopUpInput(850, 4.2, 1000, 5, 5, ROOM, 845, 100, 0);
    assertEquals(Product.WATER, add(low).first());
  }

  @Test
  void weakWithoutRoomUsesTheHeadroomAndSaysWhatRemains() {
    // d' = V(C* − C)/(S − C*) = 990·1/95 = 10.4211 L by hand; the room is 5 L.
    TopUp.Add plan = add(limited(bath(990, 4, 990, 5), 6, 995));
    assertEquals(5, plan.concentrateL(), 1e-9);
    assertEquals(5.4211, plan.remainingConcentrateL(), 5e-5);
    TopUp.Drain drain = plan.drain().orElseThrow();
    // x = (5·995 − 4·990 − 100·5)/96 = 5.3646 L, then 10.3646 L: the balance closes at 5 %.
    assertEquals(5.3646, drain.drainL(), 5e-5);
    double after =
        (4 * (990 - drain.drainL()) + 100 * drain.concentrateL())
            / (990 - drain.drainL() + drain.concentrateL());
    assertEquals(5, after, 1e-9);
    assertTrue(drain.words().contains("named person"), drain.words());
    // By hand: 990 - 5.3646 + 10.3646 = 995. Done after the 5 L above it would be 1000 L in 995 L.
    assertTrue(drain.words().contains("instead of adding anything else"), drain.words());
    assertTrue(drain.words().contains("to 995.0 L at 5.000 %"), drain.words());
    assertInstanceOf(TopUp.Hold.class, TopUps.plan(limited(bath(995, 4, 995, 5), 6, 995)));
  }

  @Test
  void returnedRinseIsNotOfZeroStrength() {
    TopUp.Add plan = add(new TopUpInput(850, 4.2, 1000, 5, 5, ROOM, 0, 100, 1));
    double alkali = 850 * 4.2 + 100 * plan.concentrateL() + 1 * plan.waterL();
    assertEquals(1000, 850 + plan.concentrateL() + plan.waterL(), 1e-9);
    assertEquals(5000, alkali, 1e-9);
  }

  @Test
  void coldWaterCoolsByItsShare() {
    // Example 22: 50 L at 15 °C into 950 L at 60 °C gives 57.75 °C; 150 L into 850 L 53.25 °C.
    assertEquals(50, TopUps.coldWaterLimitL(950, 60, 15, 60 - 57.75), 1e-9);
    assertEquals(150, TopUps.coldWaterLimitL(850, 60, 15, 60 - 53.25), 1e-9);
    assertEquals(Double.POSITIVE_INFINITY, TopUps.coldWaterLimitL(950, 15, 15, 2));
    assertTrue(Double.isNaN(TopUps.coldWaterLimitL(950, Double.NaN, 15, 2)));
  }

  @Test
  void batchDragOutMadeUpWithWaterWashesTheBathOut() {
    ReferenceTable.Row row =
        WASHOUT.where("case", "batch drag-out, level restored with water each batch").get(0);
    double pct = 5;
    for (int batch = 0; batch < 100; batch++) {
      pct = TopUps.strengthAfterPct(bath(998, pct, 998, 5), 0, 2);
    }
    assertEquals(row.number("result"), pct, 5e-5);
  }

  @Test
  void unfedWashoutAndTimeToHalfInSmallSteps() {
    // 0.1 turnovers an hour for 10 h in 10000 steps of equal washout: 36.7879 % of the start.
    ReferenceTable.Row row = WASHOUT.where("case", "unfed washout").get(0);
    assertEquals(row.number("result"), washed(100, 0.1 * 10 / 10_000, 10_000), 0.03679);
    ReferenceTable.Row half = WASHOUT.where("case", "time to half concentration, unfed").get(0);
    int steps = (int) Math.round(half.number("result") * 1000);
    assertEquals(2.5, washed(5, 20.0 / 1000 / 1000, steps), 0.0025);
  }

  private static double washed(double startPct, double share, int steps) {
    double pct = startPct;
    for (int i = 0; i < steps; i++) {
      pct = TopUps.strengthAfterPct(bath(1 - share, pct, 1, 50), 0, share);
    }
    return pct;
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6, 7, 8})
  void nothingThatIsNoNumberIsPlannedFor(int field) {
    for (double bad : new double[] {Double.NaN, Double.POSITIVE_INFINITY, -1}) {
      double[] v = {850, 4.2, 1000, 5, 6, 1100, 500, 100, 0};
      v[field] = bad;
      TopUpInput in = new TopUpInput(v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7], v[8]);
      assertInstanceOf(TopUp.Refused.class, TopUps.plan(in), () -> "field " + field + " " + bad);
    }
  }

  @Test
  void whatIsNoNumberIsNamed() {
    assertEquals(
        "the bath's strength is no number (NaN); the low guard is no number (Infinity)",
        TopUps.plan(
                new TopUpInput(850, Double.NaN, 1000, 5, 6, 1100, Double.POSITIVE_INFINITY, 100, 0))
            .reason());
  }

  @Test
  void contradictionsAreRefused() {
    List<TopUpInput> wrong =
        List.of(
            bath(850, 4.2, 1000, 100),
            new TopUpInput(850, 4.2, 1000, 5, 4, 1100, 0, 100, 0),
            new TopUpInput(850, 4.2, 1000, 5, 6, 900, 0, 100, 0),
            new TopUpInput(850, 4.2, 1000, 5, 6, 1100, 0, 100, 5),
            new TopUpInput(850, 60, 1000, 5, 6, 1100, 0, 50, 0));
    for (TopUpInput in : wrong) {
      assertInstanceOf(TopUp.Refused.class, TopUps.plan(in), in::toString);
    }
  }

  @Test
  void everyPlanClosesItsBalanceWithinTheRoom() {
    Random random = new Random(20260302);
    int plans = 0;
    for (int i = 0; i < 20_000; i++) {
      double volume = 200 + 900 * random.nextDouble();
      TopUpInput in =
          new TopUpInput(
              volume,
              12 * random.nextDouble(),
              200 + 800 * random.nextDouble(),
              4 + 2 * random.nextDouble(),
              6 + random.nextDouble(),
              1000 + 100 * random.nextDouble(),
              300,
              60 + 40 * random.nextDouble(),
              random.nextDouble());
      if (TopUps.plan(in) instanceof TopUp.Add plan) {
        plans++;
        assertTrue(plan.concentrateL() >= 0 && plan.waterL() >= 0, plan::toString);
        assertTrue(plan.endVolumeL() <= Math.max(in.maximumL(), volume) + 1e-6, plan::toString);
        double alkali =
            volume * in.concentrationPct()
                + plan.concentrateL() * in.strengthPct()
                + plan.waterL() * in.waterPct();
        assertEquals(alkali, plan.endVolumeL() * plan.endConcentrationPct(), 1e-6);
        assertTrue(
            plan.concentrateL() == 0 || plan.endConcentrationPct() <= in.targetPct() + 1e-9,
            plan::toString);
      }
    }
    assertTrue(plans > 10_000, "plans " + plans);
  }

  private static String row(String inputs) {
    return MIXING.where("inputs", inputs).get(0).text("result");
  }
}
