package org.bathwarden.simulator.physics;

import static org.bathwarden.simulator.physics.Reference.number;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Washout against dragout-rinse-formulas.csv (mass balance, textbook), mixing, and the balance. */
class BathTest {

  private static final double C0 = 5.0;

  private static Liquor alkali(double litres, double eq) {
    Liquor liquor = new Liquor();
    liquor.addVolume(litres);
    liquor.add(Liquor.ALKALINITY, eq);
    return liquor;
  }

  private static double worked(String name) {
    return number(Reference.row("dragout-rinse-formulas.csv", "case", name), "result");
  }

  private static double strength(Bath bath) {
    return bath.all().perLitre(Liquor.ALKALINITY);
  }

  @Test
  void batchDragOutWithTheLevelRestored() {
    Bath bath = new Bath(alkali(1000, 1000 * C0), 20);
    for (int i = 0; i < 100; i++) {
      bath.takeOut(2.0);
      bath.pour(alkali(2.0, 0), 20);
      bath.mix(600, 100_000, true);
      mixWell(bath);
    }
    double expected = worked("batch drag-out, level restored with water each batch");
    assertEquals(expected, strength(bath), 0.001 * expected);
  }

  @Test
  void unfedWashoutFallsToOneOverE() {
    Bath bath = new Bath(alkali(1000, 100_000), 20);
    for (int i = 0; i < 10_000; i++) { // 100 L/h for 10 h
      bath.takeOut(0.1);
      bath.pour(alkali(0.1, 0), 20);
      bath.mix(3.6, 1_000_000, true);
    }
    double expected = worked("unfed washout");
    assertEquals(expected, strength(bath), 0.001 * expected);
  }

  @Test
  void aBathThatRanDryTakesAFreshFill() {
    Bath bath = new Bath(alkali(10, 10 * C0), 60);
    for (int i = 0; i < 2000; i++) {
      bath.takeOut(0.01);
      bath.evaporate(0.01);
      bath.mix(60, 30_000, true);
      assertTrue(bath.litresAt20() >= 0 && strength(bath) >= 0, "step " + i);
    }
    assertTrue(bath.litresAt20() < 0.1);
    bath.pour(alkali(100, 100 * C0), 20);
    bath.mix(60, 30_000, true);
    assertEquals(C0, strength(bath), 0.05 * C0);
  }

  private static void mixWell(Bath bath) {
    for (int i = 0; i < 100; i++) {
      bath.mix(10, 100_000, true);
    }
  }

  @Test
  void threeTurnoversMixNinetyFivePercent() {
    Bath bath = new Bath(alkali(1000, 0), 20);
    bath.pour(alkali(1.0, 100), 20);
    double start = bath.atProbe().perLitre(Liquor.ALKALINITY);
    double end = strength(bath);
    for (int s = 0; s < 3 * 360; s++) {
      bath.mix(1.0, 10_000, true); // a turnover is 0.1 h
    }
    double left = (end - bath.atProbe().perLitre(Liquor.ALKALINITY)) / (end - start);
    assertEquals(Math.exp(-3), left, 0.005); // ideally stirred vessel, textbook
  }

  @Test
  void withoutCirculationADoseHardlyMixes() {
    Bath bath = new Bath(alkali(1000, 0), 20);
    bath.pour(alkali(1.0, 100), 20);
    double start = bath.atProbe().perLitre(Liquor.ALKALINITY);
    bath.mix(1080, 10_000, false);
    assertTrue(bath.atProbe().perLitre(Liquor.ALKALINITY) - start < 0.1 * strength(bath));
  }

  @Test
  void evaporationConcentratesAndLeavesAllBehind() {
    Bath bath = new Bath(alkali(1000, 1000 * C0), 60);
    bath.evaporate(99.8206);
    assertEquals(900, bath.litresAt20(), 0.01);
    assertEquals(C0 / 0.9, strength(bath), 1e-4);
  }

  @Test
  void hotLiquidTakesTheRoomThatWaterTakes() {
    Bath bath = new Bath(alkali(1000, 0), 60);
    // water-properties.csv: 998.206 and 983.211 kg/m³
    assertEquals(1000 * 998.206 / 983.211, bath.litres(), 0.02);
  }

  @Test
  void whatComesInLessWhatGoesOutIsThere() {
    Rig rig = Rig.working(EndPoint.FREE, new Unknowns(15, 15, 2, 1, 0.5, 2, 1), 9);
    Tank tank = rig.tank();
    tank.start(FaultKind.LEAK, 10);
    rig.run(3600).drive(Rig.PUMP).run(300).drive(Rig.VALVE).run(200).drive(Rig.PUMP).run(10);
    tank.start(FaultKind.WRONG_PRODUCT, 0.3);
    tank.pour(Supply.CONCENTRATE, 3);
    tank.drain(50);
    rig.run(5 * 3600);
    Bath bath = tank.bath();
    for (int kind : new int[] {Liquor.ALKALINITY, Liquor.CARBON, Liquor.SALT, Liquor.OIL}) {
      double in = bath.broughtIn().amount(kind);
      double open = in - bath.carriedOut().amount(kind) - bath.all().amount(kind);
      assertEquals(0.0, open / in, 1e-9, "kind " + kind);
    }
    double inL = bath.broughtIn().litres();
    double openL = inL - bath.carriedOut().litres() - bath.evaporatedL() - bath.litresAt20();
    assertEquals(0.0, openL / inL, 1e-9);
  }
}
