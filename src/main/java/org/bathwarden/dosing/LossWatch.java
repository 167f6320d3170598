package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.TankSheet;

/**
 * Watches whether the level falls faster than any explained loss: a leak, a siphon, a drain that
 * nobody entered. It compares the settled level with every one of the last half hour, so that a
 * fast loss shows within a minute and one of three times the largest loss within the half hour.
 *
 * @param samples settled levels less what was added, at most one a minute, oldest first
 * @param addedL what was added less what was taken out on purpose, since the first sample, L
 */
public record LossWatch(List<Sample> samples, double addedL) {

  /** Nothing seen yet. */
  public static final LossWatch EMPTY = new LossWatch(List.of(), 0);

  private static final Duration WINDOW = Duration.ofMinutes(30);
  private static final Duration APART = Duration.ofMinutes(1);
  private static final double TIMES_LARGEST = 3;
  private static final double NOISE_SHARE = 0.005;

  /** Copies the list. */
  public LossWatch {
    samples = List.copyOf(samples);
  }

  /**
   * One settled level.
   *
   * @param at steady clock
   * @param netL level at 20 °C less what was added before, L
   */
  public record Sample(Instant at, double netL) {}

  /**
   * The watch after this pass.
   *
   * @param settledLevelL settled level, L; NaN if there is none, which judges nothing
   * @param temperatureC bath temperature, °C; NaN takes the setpoint
   * @param addedNowL what flowed in less what a person took out on purpose in this pass, L; NaN
   *     begins anew
   */
  public LossWatch step(
      TankSheet sheet, double settledLevelL, double temperatureC, double addedNowL, Instant now) {
    if (Double.isNaN(addedNowL)) {
      return EMPTY;
    }
    double added = addedL + addedNowL;
    List<Sample> next = new ArrayList<>(samples);
    next.removeIf(sample -> sample.at().isBefore(now.minus(WINDOW)));
    boolean due = next.isEmpty() || !next.get(next.size() - 1).at().plus(APART).isAfter(now);
    if (due && !Double.isNaN(settledLevelL)) {
      next.add(new Sample(now, net(sheet, settledLevelL, temperatureC, added)));
    }
    return new LossWatch(next, added);
  }

  /**
   * Whether the level fell by more than three times the largest explained loss, half a percent of
   * the working volume and a load's displacement.
   *
   * @param largestLossLPerH evaporation and drag-out at their most, L/h; NaN counts as none
   */
  public boolean fast(
      TankSheet sheet,
      double settledLevelL,
      double temperatureC,
      double largestLossLPerH,
      Instant now) {
    double net = net(sheet, settledLevelL, temperatureC, addedL);
    Geometry geometry = sheet.geometry();
    double allowance = NOISE_SHARE * geometry.workingL() + geometry.loadDisplacementL();
    double rate = TIMES_LARGEST * (largestLossLPerH > 0 ? largestLossLPerH : 0);
    for (Sample sample : samples) {
      double hours = Duration.between(sample.at(), now).toMillis() / 3_600_000.0;
      if (sample.netL() - net > allowance + rate * hours) {
        return true;
      }
    }
    return false;
  }

  private static double net(TankSheet sheet, double levelL, double temperatureC, double addedL) {
    double orSetpoint = Double.isNaN(temperatureC) ? sheet.temperatureSetpointC() : temperatureC;
    return Volumes.at20L(sheet, levelL, orSetpoint) - addedL;
  }
}
