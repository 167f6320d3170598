package org.bathwarden.simulator.physics;

import static org.bathwarden.simulator.physics.Reference.number;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * Against IAPWS-IF97 (water-properties.csv). The table's own tolerances are 0.01 kg/m³, 0.05 % and
 * 0.1 %; the density formula of 1975 stands up to 0.0125 off, the straight line for latent heat 0.2
 * %.
 */
class WaterTest {

  @Test
  void densityIsThatOfIapws() {
    for (Map<String, String> row : Reference.rows("water-properties.csv")) {
      double t = number(row, "temperature_C");
      assertEquals(number(row, "density_kg_m3"), Water.density(t), 0.0125, "at " + t);
    }
  }

  @Test
  void saturationPressureIsThatOfIapws() {
    for (Map<String, String> row : Reference.rows("water-properties.csv")) {
      double t = number(row, "temperature_C");
      double expected = number(row, "saturation_pressure_kPa");
      assertEquals(expected, Water.saturationKPa(t), 0.0005 * expected, "at " + t);
    }
  }

  @Test
  void latentHeatIsThatOfIapws() {
    for (Map<String, String> row : Reference.rows("water-properties.csv")) {
      double t = number(row, "temperature_C");
      double expected = number(row, "latent_heat_kJ_kg");
      assertEquals(expected, Water.latentKJPerKg(t), 0.002 * expected, "at " + t);
    }
  }
}
