package org.bathwarden.simulator.physics;

import static org.bathwarden.simulator.physics.Reference.number;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * Against evaporation.csv: values published with Shah's correlation, and ASHRAE's for hot tanks.
 */
class EvaporationTest {

  private static List<Map<String, String>> rows(String kind) {
    return Reference.rows("evaporation.csv").stream()
        .filter(r -> r.getOrDefault("case", "").startsWith(kind))
        .toList();
  }

  private static double rate(Map<String, String> row) {
    return Evaporation.kgPerHourM2(
        number(row, "water_C"), 1.0, number(row, "air_C"), number(row, "rh_percent"));
  }

  @Test
  void publishedPoolValuesAreMet() {
    assertEquals(9, rows("published").size());
    for (Map<String, String> row : rows("published")) {
      double expected = number(row, "published_kg_h_m2");
      assertEquals(expected, rate(row), 0.005 * expected, row.toString());
    }
  }

  @Test
  void hotTanksLieWithinThirtyPercentOfAshrae() {
    assertEquals(5, rows("heated").size());
    for (Map<String, String> row : rows("heated")) {
      double ashrae = number(row, "ashrae_kg_h_m2");
      assertEquals(ashrae, rate(row), 0.30 * ashrae, row.toString());
    }
  }

  @Test
  void aTankOfOneSquareMetreLosesWhatTheTableSays() {
    Rig rig = Rig.standing();
    double before = rig.truth().evaporatedL();
    rig.run(4 * 3600);
    double ashrae =
        number(
            rows("heated").stream()
                .filter(r -> "60".equals(r.get("water_C")))
                .findFirst()
                .orElseThrow(),
            "ashrae_kg_h_m2");
    assertEquals(4 * ashrae, rig.truth().evaporatedL() - before, 0.3 * 4 * ashrae);
  }

  @Test
  void nothingCondensesIntoAColdBath() {
    assertEquals(0.0, Evaporation.kgPerHourM2(10, 1.0, 30, 90));
  }
}
