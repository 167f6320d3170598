package org.bathwarden.dosing;

import java.util.OptionalDouble;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.TankSheet;

/**
 * What is seen of a tank while people work at it.
 *
 * @param levelL level, L; NaN if unknown
 * @param level20L the same as liquid at 20 °C, L
 * @param temperatureC bath temperature, °C; NaN if unknown
 * @param pct the fresh solution that conducts like the bath, %; NaN if the probe tells nothing
 * @param circulating whether circulation runs
 * @param drainClosed whether the drain is closed
 */
public record TankSight(
    double levelL,
    double level20L,
    double temperatureC,
    double pct,
    boolean circulating,
    boolean drainClosed) {

  /**
   * What signals and permits show; without a temperature the setpoint is taken.
   *
   * @param probe whether the probe is asked
   */
  public static TankSight of(TankSheet sheet, Signals signals, LineWatch watch, boolean probe) {
    double levelL = signals.value(Point.LEVEL);
    double temperatureC = signals.value(Point.TEMPERATURE);
    double reckonedC = Double.isNaN(temperatureC) ? sheet.temperatureSetpointC() : temperatureC;
    double conductivity = signals.value(Point.CONDUCTIVITY);
    return new TankSight(
        levelL,
        Volumes.at20L(sheet, levelL, reckonedC),
        temperatureC,
        probe ? pct(sheet.chemistry().grid(), conductivity, temperatureC) : Double.NaN,
        permitted(watch, Permit.CIRCULATION),
        permitted(watch, Permit.DRAIN_CLOSED));
  }

  /** The level in words, L. */
  String levelWords() {
    return Double.isNaN(levelL) ? "unknown" : Needs.say("%.0f L", levelL);
  }

  /** Below the weakest solution of the sheet a straight line to pure water is taken. */
  private static double pct(ConductivityGrid grid, double conductivity, double temperatureC) {
    OptionalDouble within = grid.concentrationPct(conductivity, temperatureC);
    if (within.isPresent() || Double.isNaN(conductivity) || Double.isNaN(temperatureC)) {
      return within.orElse(Double.NaN);
    }
    double weakest =
        grid.points().stream()
            .mapToDouble(ConductivityGrid.Point::concentrationPct)
            .min()
            .orElse(Double.NaN);
    double least = grid.conductivityMsCm(weakest, temperatureC).orElse(Double.NaN);
    return conductivity < least ? weakest * conductivity / least : Double.NaN;
  }

  private static boolean permitted(LineWatch watch, Permit permit) {
    return watch.words().map(words -> words.permits(permit)).orElse(false);
  }
}
