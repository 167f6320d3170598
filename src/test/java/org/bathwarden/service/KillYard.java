package org.bathwarden.service;

import java.util.List;
import java.util.Locale;
import org.bathwarden.config.TankText;

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
      supplies.append(TankText.supplies(i, 1.5, 10, 100));
      tanks.append(TankText.tank(i, "degrease", "cell", REST));
    }
    return "site: North Yard\nrehearsal: true\nhealth: {bind: 127.0.0.1, port: 0}\n"
        + ("record: {file: " + name + ".db}\n" + more)
        + ("connections:\n" + lines)
        + ("supplies:\n" + supplies)
        + ("tanks:\n" + tanks);
  }

  /** The demo's tank, with small portions and next to no wait between them. */
  private static final String REST =
      """
          band: {target_pct: 8.0, low_pct: 6.8, high_pct: 9.7}
          start: {concentration_pct: 6.4, u_pct: 0.3}
          limits:
            mixing_wait: 1s
            concentrate: {smallest_portion_l: 0.1, portion_l: 0.2}
      """;
}
