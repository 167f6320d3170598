package org.bathwarden.config;

/** The tanks of a configuration as a person writes them, for tests that start the service. */
public final class TankText {

  private static final String SUPPLIES =
      """
        pump-#: {kind: pump, product: concentrate, rated_l_per_min: RATE, ml_per_pulse: PUMP}
        water-#: {kind: valve, product: water, rated_l_per_min: 20, ml_per_pulse: VALVE}
      """;

  private static final String TANK =
      """
        - name: NAME-#
          connection: LINE-#
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
          make_up_water: {strength_pct: 0, strength_u_pct: 0.02, temperature_c: 14}
          concentrate: {strength_pct: 100, supplies: [pump-#]}
          water: {supplies: [water-#]}
      """;

  private TankText() {}

  /** Pump and valve number {@code i}; the pump in L/min, meters in mL for each pulse. */
  public static String supplies(int i, double pumpRate, int pumpPulse, int valvePulse) {
    return numbered(SUPPLIES, i)
        .replace("RATE", Double.toString(pumpRate))
        .replace("PUMP", Integer.toString(pumpPulse))
        .replace("VALVE", Integer.toString(valvePulse));
  }

  /**
   * Tank number {@code i} of that name and on that line but for its band, start and limits.
   *
   * @param more the rest, each line indented by four
   */
  public static String tank(int i, String name, String line, String more) {
    return numbered(TANK, i).replace("NAME", name).replace("LINE", line) + more;
  }

  private static String numbered(String text, int i) {
    return text.replace("#", Integer.toString(i));
  }
}
