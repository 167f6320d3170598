package org.bathwarden.signal;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;

/**
 * What judging the signals must remember. Plain data.
 *
 * @param watches for each measured value
 * @param concentrateTotalMl last readable totalizer of concentrate, mL; NaN if none yet
 * @param concentrateAt when it was read
 * @param waterTotalMl last readable totalizer of water, mL; NaN if none yet
 * @param waterAt when it was read
 * @param loadsTotal last readable load count; NaN if none yet
 * @param heartbeat last {@code plc_heartbeat} seen; −1 if none yet
 * @param heartbeatMovedAt when it last moved
 * @param settledSince since when the level has been settled; {@link Instant#MAX} if it is not
 * @param settledLevels thinned levels since then, oldest first, L
 * @param worked loads and litres since the start, to tell a value that should move
 */
public record SignalState(
    Map<Point, Watch> watches,
    double concentrateTotalMl,
    Instant concentrateAt,
    double waterTotalMl,
    Instant waterAt,
    double loadsTotal,
    int heartbeat,
    Instant heartbeatMovedAt,
    Instant settledSince,
    List<TimedLevel> settledLevels,
    double worked) {

  /** Taken for a pause of unknown length; judgement. */
  private static final Duration LONGEST_PAUSE = Duration.ofDays(1);

  /** Copies the collections. */
  public SignalState {
    watches = Map.copyOf(watches);
    settledLevels = List.copyOf(settledLevels);
  }

  /** Nothing is known yet. */
  public static SignalState initial(Instant at) {
    return new SignalState(
        Map.of(), Double.NaN, at, Double.NaN, at, Double.NaN, -1, at, Instant.MAX, List.of(), 0);
  }

  /**
   * The same after a pause of which no clock tells how long it was: what a totalizer counted
   * meanwhile may be as much as flows in a day.
   */
  public SignalState afterUnknownPause() {
    return new SignalState(
        watches,
        concentrateTotalMl,
        concentrateAt.minus(LONGEST_PAUSE),
        waterTotalMl,
        waterAt.minus(LONGEST_PAUSE),
        loadsTotal,
        heartbeat,
        heartbeatMovedAt,
        settledSince,
        settledLevels,
        worked);
  }

  /**
   * What is remembered of one measured value.
   *
   * @param believed last value believed
   * @param believedAt when
   * @param doubtedSince since when values are too far off; {@link Instant#MAX} if they are not
   * @param same value that has been read unchanged
   * @param sameSince since when
   * @param workedAtSame how much the tank had been worked then
   */
  public record Watch(
      double believed,
      Instant believedAt,
      Instant doubtedSince,
      double same,
      Instant sameSince,
      double workedAtSame) {}

  /** One level of the settled window. */
  public record TimedLevel(Instant at, double levelL) {}
}
