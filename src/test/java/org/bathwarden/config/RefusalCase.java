package org.bathwarden.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;

/** A yard with a configuration that is changed in one place. */
abstract class RefusalCase {

  @TempDir Path folder = Path.of("");
  ConfigFiles yard = new ConfigFiles(folder);

  @BeforeEach
  void layOut() {
    yard = new ConfigFiles(folder);
  }

  static void says(Problem problem, int line, String found, String allowed) {
    assertEquals(Problem.Severity.ERROR, problem.severity());
    assertEquals(line, problem.line(), problem.toString());
    assertEquals(found, problem.found(), problem.toString());
    assertTrue(problem.allowed().contains(allowed), problem.toString());
  }

  static String second(String connection, String more) {
    return """
          - name: degrease-2
            connection: %s
            number: 2
            chemistry: alkali-a.yaml
            metals: [steel]
            temperature_setpoint_c: 60
            drag_out_l_per_load: 0.8
            geometry: {level_kind: surface, working_l: 800, low_level_l: 710, minimum_l: 600, heater_guard_l: 500, maximum_l: 900, surface_m2: 1, circulation_l_per_min: 266.7}
            band: {target_pct: 8.0, low_pct: 6.8, high_pct: 9.7}
            make_up_water: {strength_pct: 0, temperature_c: 14}
            concentrate: {supplies: [pump-1]}
            water: {supplies: [water-1]}
        %s"""
        .formatted(connection, more);
  }

  static List<Problem> refused(Path file) {
    try {
      ConfigReader.read(file, Map.of());
    } catch (ConfigException e) {
      return e.problems();
    }
    throw new AssertionError("taken");
  }
}
