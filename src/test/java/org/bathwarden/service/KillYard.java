package org.bathwarden.service;

import java.util.List;
import java.util.Locale;

/** The invented yard of the tests that kill the delivered jar: a tank on a line of its own each. */
final class KillYard {

  private KillYard() {}

  /**
   * A configuration with a tank at each port.
   *
   * @param name of the store
   * @param more lines at its top
   */
  static String yaml(List<Integer> ports, String name, String more) {
    StringBuilder lines = new StringBuilder();
    StringBuilder supplies = new StringBuilder();
    StringBuilder tanks = new StringBuilder();
    for (int i = 1; i <= ports.size(); i++) {
      lines.append(
          String.format(
              Locale.ROOT,
              "  cell-%d: {protocol: modbus-tcp, host: 127.0.0.1, port: %d, scan: 1s, timeout: 900ms}%n",
              i,
              ports.get(i - 1)));
      supplies.append(SUPPLIES.replace("#", Integer.toString(i)));
      tanks.append(TANK.replace("#", Integer.toString(i)));
    }
    return "site: North Yard\nrehearsal: true\nhealth: {bind: 127.0.0.1, port: 0}\n"
        + ("record: {file: " + name + ".db}\n" + more)
        + ("connections:\n" + lines)
        + ("supplies:\n" + supplies)
        + ("tanks:\n" + tanks);
  }

  private static final String SUPPLIES =
      """
        pump-#: {kind: pump, product: concentrate, rated_l_per_min: 1.5, ml_per_pulse: 10}
        water-#: {kind: valve, product: water, rated_l_per_min: 20, ml_per_pulse: 100}
      """;

  /** The demo's tank, with small portions and next to no wait between them. */
  private static final String TANK =
      """
        - name: degrease-#
          connection: cell-#
          number: 1
          mode: command
          chemistry: alkali-a.yaml
          metals: [steel]
          temperature_setpoint_c: 60
          drag_out_l_per_load: 0.8
          geometry:
            level_kind: surface
            working_l: 800
            low_level_l: 710
            minimum_l: 600
            heater_guard_l: 500
            maximum_l: 900
            load_displacement_l: 12
            foam_allowance_l: 10
            surface_m2: 1.0
            circulation_l_per_min: 266.7
          band: {target_pct: 8.0, low_pct: 6.8, high_pct: 9.7}
          make_up_water: {strength_pct: 0, strength_u_pct: 0.02, temperature_c: 14}
          concentrate: {strength_pct: 100, supplies: [pump-#]}
          water: {supplies: [water-#]}
          start: {concentration_pct: 6.4, u_pct: 0.3}
          limits:
            mixing_wait: 1s
            concentrate: {smallest_portion_l: 0.1, portion_l: 0.2}
      """;
}
