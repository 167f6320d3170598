package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;

import java.util.OptionalDouble;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.MakeUpWater;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.TankSheet;
import org.junit.jupiter.api.Test;

/**
 * Charges computed by hand from additive volumes; densities from water-properties.csv (IAPWS-IF97).
 */
class ChargePlanTest {

  /** 800 L at 60 °C, target 8 %. */
  private static TankSheet hot(double strengthPct, double waterPct) {
    TankSheet s = Plant.SHEET;
    return new TankSheet(
        s.id(),
        s.number(),
        new Geometry(LevelKind.SURFACE, 800, 710, 600, 500, 900, 12, 10, 0, 1, 266.7),
        new Band(8, 6.8, 9.7),
        s.metals(),
        s.chemistry(),
        new MakeUpWater(waterPct, 0, 15),
        strengthPct,
        60,
        0.8);
  }

  private static double density(int temperatureC) {
    return ReferenceTable.load("water-properties.csv").rows().stream()
        .filter(row -> row.number("temperature_C") == temperatureC)
        .findFirst()
        .orElseThrow()
        .number("density_kg_m3");
  }

  @Test
  void theColdBathLeavesRoomForItsExpansion() {
    ChargePlan plan = ChargePlan.of(hot(100, 0), ProcedureSettings.USUAL);
    // 800 L × 983.211 / 998.206 = 787.98 L
    assertEquals(800 * density(60) / density(20), plan.coldL(), 0.02);
    assertEquals(787.98, plan.coldL(), 0.02);
    assertEquals(0.75 * 787.98, plan.firstWaterL(), 0.02);
    assertEquals(800, ChargePlan.shownL(hot(100, 0), plan.coldL(), 60), 0.02);
    assertNotEquals(800, ChargePlan.shownL(hot(100, 0), plan.coldL(), 20), 10);
  }

  @Test
  void concentrateFollowsFromTargetVolumeAndStrength() {
    // 8 % of 787.98 L = 63.04 L neat, in four cans of 15.76 L
    ChargePlan neat = ChargePlan.of(hot(100, 0), ProcedureSettings.USUAL);
    assertEquals(63.04, neat.concentrateL(), 0.01);
    assertEquals(15.76, neat.portionL(), 0.01);
    // 787.98 × (8 − 0.4) / (50 − 0.4) = 120.74 L of half strength into rinse water of 0.4 %;
    // at most 25 L each: five portions of 24.15 L
    ChargePlan half = ChargePlan.of(hot(50, 0.4), ProcedureSettings.USUAL);
    assertEquals(120.74, half.concentrateL(), 0.01);
    assertEquals(24.15, half.portionL(), 0.01);
    assertEquals(8, ChargePlan.strengthPct(hot(50, 0.4), half.concentrateL(), half.coldL()), 1e-9);
  }

  /** mixing-examples.csv: 100 L at 3 % hold 3 L of neat concentrate. */
  @Test
  void strengthIsThatOfTheDilutionInTheTable() {
    assertEquals(3, ChargePlan.strengthPct(hot(100, 0), 3, 100), 1e-12);
  }

  @Test
  void theLastPortionIsWhatIsLeft() {
    ChargePlan plan = ChargePlan.of(hot(100, 0), ProcedureSettings.USUAL);
    assertEquals(15.76, plan.nextL(0), 0.01);
    assertEquals(3.04, plan.nextL(60), 0.01);
    assertEquals(0, plan.nextL(62), "less than 2 % of all is no portion");
    assertEquals(0, plan.nextL(70));
  }

  @Test
  void aSiteMayPourSmallerPortions() {
    ProcedureSettings small =
        new ProcedureSettings(Role.CHEMIST, 40, OptionalDouble.empty(), 0.75, 4, 10, true);
    assertEquals(63.04 / 7, ChargePlan.of(hot(100, 0), small).portionL(), 0.01);
  }
}
