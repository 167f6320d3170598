package org.bathwarden.signal;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.bathwarden.signal.Quality.Reason;

/**
 * The resistance of a Pt100. Source: IEC 60751, R = 100 (1 + A t + B t² + C (t − 100) t³) with C
 * only below 0 °C, valid from −200 to 850 °C; a resistance outside that is a short or an open
 * circuit. From 0 °C up the quadratic is solved, below by Newton's method.
 *
 * @param leadOhm resistance of the leads that the reading contains, ohm; 0 with three or four wires
 */
public record Pt100Input(double leadOhm) implements Input {

  private static final double R0_OHM = 100;
  private static final double A = 3.9083e-3;
  private static final double B = -5.775e-7;
  private static final double C = -4.183e-12;
  private static final double LEAST_OHM = resistanceOhm(-200);
  private static final double GREATEST_OHM = resistanceOhm(850);

  /** From the quadratic's root two steps come within 3e-9 K at −200 °C, three to the last digit. */
  private static final int STEPS = 3;

  @Override
  public Meaning meaning(double ohm, Reading bathC) {
    double sensorOhm = ohm - leadOhm;
    if (!Double.isFinite(sensorOhm)) {
      return Meaning.bad(Reason.NOT_A_NUMBER);
    }
    if (sensorOhm < LEAST_OHM) {
      return Meaning.bad(Reason.SHORT_CIRCUIT);
    }
    if (sensorOhm > GREATEST_OHM) {
      return Meaning.bad(Reason.OPEN_CIRCUIT);
    }
    return Meaning.good(temperatureC(sensorOhm));
  }

  private static double temperatureC(double ohm) {
    double t = (-A + Math.sqrt(A * A - 4 * B * (1 - ohm / R0_OHM))) / (2 * B);
    if (ohm >= R0_OHM) {
      return t;
    }
    for (int i = 0; i < STEPS; i++) {
      double slope = R0_OHM * (A + 2 * B * t + C * t * t * (4 * t - 300));
      t -= (resistanceOhm(t) - ohm) / slope;
    }
    return t;
  }

  private static double resistanceOhm(double t) {
    double below = t < 0 ? C * (t - 100) * t * t * t : 0;
    return R0_OHM * (1 + A * t + B * t * t + below);
  }

  @Override
  public String unit() {
    return "ohm";
  }

  @Override
  public Set<Point> points() {
    return EnumSet.of(Point.TEMPERATURE);
  }

  @Override
  public List<String> problems() {
    return leadOhm >= 0 && leadOhm <= 20
        ? List.of()
        : List.of("pt100.lead_ohm: must be from 0 to 20 ohm");
  }
}
