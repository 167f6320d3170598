package org.bathwarden.simulator.physics;

import static org.bathwarden.simulator.physics.Reference.number;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Map;
import org.junit.jupiter.api.Test;

/** Equilibria against IAPWS (water-pkw.csv) and published constants (pka-temperature.csv). */
class SpeciationTest {

  @Test
  void pureWaterIsNeutralWhereIapwsSaysSo() {
    for (Map<String, String> row : Reference.rows("water-pkw.csv")) {
      if (!"".equals(row.get("pkw_iapws"))) {
        double t = number(row, "temperature_C");
        double ph = Speciation.of(0, 0, 0, 0, 0, t).ph();
        assertEquals(number(row, "pkw_iapws") / 2, ph, 0.01, "at " + t);
      }
    }
  }

  @Test
  void carbonateBuffersAtItsConstant() {
    for (Map<String, String> row : Reference.rows("pka-temperature.csv")) {
      double t = number(row, "temperature_C");
      if (t >= 20) {
        // Equal parts of both ions at 1 mmol/L; Davies moves it by 0.04, water a little.
        Speciation s = Speciation.of(0.0015, 0.001, 0, 0, 0, t);
        double ratio = Math.log10(s.carbonate() / s.bicarbonate());
        assertEquals(number(row, "carbonic_pK2"), s.ph() - ratio, 0.08, "at " + t);
      }
    }
  }

  @Test
  void aHydroxideBathReadsThreeHundredthsLowerPerKelvin() {
    double cold = Speciation.of(0.2, 0, 0, 0, 0, 25).ph();
    double hot = Speciation.of(0.2, 0, 0, 0, 0, 60).ph();
    // water-pkw.csv: 13.9945 at 25 °C, 13.0200 at 60 °C
    assertEquals(13.0200 - 13.9945, hot - cold, 0.03);
  }

  @Test
  void chargesBalance() {
    Speciation s = Speciation.of(0.25, 0.03, 0.04, 0.01, 0.02, 60);
    double held =
        s.hydroxide()
            + s.bicarbonate()
            + 2 * s.carbonate()
            + s.silicate()
            + 2 * s.silicate2()
            + s.soap();
    assertEquals(0.25, held, 1e-9);
  }
}
