package org.bathwarden.simulator.physics;

import static org.bathwarden.simulator.physics.Reference.number;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * Against the CRC Handbook at 20 °C (conductivity-vs-concentration-20C.csv, rows read in the
 * handbook) and a published equation when hot (conductivity-naoh-hot.csv).
 */
class ConductivityTest {

  private static List<Map<String, String>> crc(String solute) {
    return Reference.rows("conductivity-vs-concentration-20C.csv").stream()
        .filter(
            r -> solute.equals(r.get("solute")) && "seen".equals(r.get("conductivity_obtained")))
        .filter(r -> number(r, "mass_percent") <= 5.0)
        .toList();
  }

  /** mol per kg of water from mass percent; molar masses by IUPAC. */
  private static double molal(Map<String, String> row, double molarMass) {
    double percent = number(row, "mass_percent");
    return 1000.0 * percent / (100.0 - percent) / molarMass;
  }

  private static double caustic(double molL, double temperatureC) {
    return Conductivity.msCm(Speciation.of(molL, 0, 0, 0, 0, temperatureC), temperatureC, 0);
  }

  @Test
  void causticConductsAsInTheHandbook() {
    assertEquals(4, crc("NaOH").size());
    for (Map<String, String> row : crc("NaOH")) {
      double expected = number(row, "conductivity_mS_cm");
      assertEquals(expected, caustic(molal(row, 39.997), 20), 0.03 * expected, row.toString());
    }
  }

  @Test
  void saltConductsAsInTheHandbook() {
    assertEquals(4, crc("NaCl").size());
    for (Map<String, String> row : crc("NaCl")) {
      double expected = number(row, "conductivity_mS_cm");
      Speciation ions = Speciation.of(0, 0, 0, 0, molal(row, 58.443), 20);
      assertEquals(expected, Conductivity.msCm(ions, 20, 0), 0.03 * expected, row.toString());
    }
  }

  @Test
  void carbonateConductsAsInTheHandbookButForItsIonPairs() {
    assertEquals(4, crc("Na2CO3").size());
    for (Map<String, String> row : crc("Na2CO3")) {
      double expected = number(row, "conductivity_mS_cm");
      double mol = molal(row, 105.988);
      Speciation ions = Speciation.of(2 * mol, mol, 0, 0, 0, 20);
      assertEquals(expected, Conductivity.msCm(ions, 20, 0), 0.15 * expected, row.toString());
    }
  }

  @Test
  void hotCausticConductsAsInTheTable() {
    for (Map<String, String> row : Reference.rows("conductivity-naoh-hot.csv")) {
      double expected = number(row, "conductivity_mS_cm");
      double actual = caustic(number(row, "molality_mol_kg"), number(row, "temperature_C"));
      assertEquals(expected, actual, 0.05 * expected, row.toString());
    }
  }

  @Test
  void carbonatedCausticConductsAThird() {
    double mol = 0.2524; // 1 % NaOH, CRC density table
    double fresh = caustic(mol, 20);
    double spent = Conductivity.msCm(Speciation.of(mol, mol / 2, 0, 0, 0, 20), 20, 0);
    // co2-absorption.csv: 48.6 before, 16.4 after
    assertEquals(16.4 / 48.6, spent / fresh, 0.05);
  }

  @Test
  void strongerBathsGainLessPerPoint() {
    double low = caustic(0.1, 60) / 0.1;
    double middle = caustic(0.5, 60) / 0.5;
    double high = caustic(1.0, 60) / 1.0;
    assertTrue(low > 1.05 * middle && middle > 1.05 * high);
  }

  @Test
  void oilTakesOneAndAHalfTimesItsShare() {
    Speciation ions = Speciation.of(0.2, 0.02, 0, 0, 0, 60);
    double ratio = Conductivity.msCm(ions, 60, 0.02) / Conductivity.msCm(ions, 60, 0);
    assertEquals(Math.pow(0.98, 1.5), ratio, 1e-12); // Bruggeman 1935, non-conducting spheres
  }
}
