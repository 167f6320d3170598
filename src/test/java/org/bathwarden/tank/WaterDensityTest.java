package org.bathwarden.tank;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.bathwarden.reference.ReferenceTable;
import org.junit.jupiter.api.Test;

/**
 * Water against IAPWS-IF97 (water-properties.csv: density within 0.01 kg/m³, saturation pressure
 * within 0.05 %) and evaporation against the ASHRAE column of evaporation.csv (0.5 %).
 */
class WaterDensityTest {

  @Test
  void densityIsThatOfTheTable() {
    for (ReferenceTable.Row row : ReferenceTable.load("water-properties.csv").rows()) {
      double t = row.number("temperature_C");
      assertEquals(row.number("density_kg_m3"), WaterDensity.kgPerM3(t), 0.01, t + " °C");
    }
  }

  @Test
  void saturationPressureIsThatOfTheTable() {
    for (ReferenceTable.Row row : ReferenceTable.load("water-properties.csv").rows()) {
      double t = row.number("temperature_C");
      double expected = row.number("saturation_pressure_kPa");
      assertEquals(expected, WaterVapour.saturationKPa(t), 0.0005 * expected, t + " °C");
    }
  }

  @Test
  void evaporationIsThatOfTheTable() {
    int checked = 0;
    for (ReferenceTable.Row row : ReferenceTable.load("evaporation.csv").rows()) {
      if (!row.text("ashrae_kg_h_m2").isEmpty()) {
        double expected = row.number("ashrae_kg_h_m2");
        double found =
            WaterVapour.evaporationKgPerHM2(
                row.number("water_C"), row.number("air_C"), row.number("rh_percent") / 100);
        assertEquals(expected, found, 0.005 * expected, row.toString());
        checked++;
      }
    }
    assertEquals(5, checked);
  }

  @Test
  void hotWaterTakesMoreRoom() {
    // water-properties.csv: 998.206 at 20 °C, 977.779 at 70 °C.
    assertEquals(998.206 / 977.779, WaterDensity.expansionFrom20C(70), 2e-5);
    assertEquals(1, WaterDensity.expansionFrom20C(20), 1e-12);
  }

  @Test
  void takesTheNearerEndBeyondTheRangeAndPassesOnNaN() {
    assertEquals(WaterDensity.kgPerM3(100), WaterDensity.kgPerM3(160));
    assertEquals(WaterDensity.kgPerM3(0), WaterDensity.kgPerM3(-20));
    assertTrue(Double.isNaN(WaterDensity.kgPerM3(Double.NaN)));
  }
}
