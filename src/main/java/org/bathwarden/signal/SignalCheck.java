package org.bathwarden.signal;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.OptionalInt;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.signal.SignalSettings.Check;
import org.bathwarden.signal.SignalSettings.Meter;
import org.bathwarden.signal.SignalState.TimedLevel;
import org.bathwarden.signal.SignalState.Watch;
import org.jspecify.annotations.Nullable;

/** Judges what the line read: the door through which every measured value comes. */
public final class SignalCheck {

  /** A value too far off is doubted this long; then it is the process that has stepped. */
  static final Duration DOUBT_TIME = Duration.ofSeconds(60);

  /** Loads, or litres, that must have passed before an unmoved value counts as frozen. */
  static final double WORKED_ENOUGH = 3;

  private static final double TWO_TO_32 = 4294967296.0;
  private static final Duration LEVEL_THINNING = Duration.ofSeconds(5);

  private SignalCheck() {}

  /**
   * What one read brought.
   *
   * @param at moment of the image, steady clock
   * @param raw every point as decoded
   * @param plcHeartbeat the PLC's heartbeat, if its words could be read
   * @param settled whether nothing moves the level now: no load in, circulation as usual
   */
  public record Raw(
      Instant at, Map<Point, Reading> raw, OptionalInt plcHeartbeat, boolean settled) {}

  /** Signals and what to remember. */
  public record Step(SignalState after, Signals signals) {}

  /** Judges one image. Never throws; what cannot be believed comes out bad or uncertain. */
  public static Step run(SignalSettings settings, SignalState before, Raw image) {
    Instant at = image.at();
    boolean moved =
        image.plcHeartbeat().isPresent() && image.plcHeartbeat().getAsInt() != before.heartbeat();
    Instant movedAt = moved ? at : before.heartbeatMovedAt();
    int heartbeat = image.plcHeartbeat().orElse(before.heartbeat());
    boolean alive =
        heartbeat >= 0 && Duration.between(movedAt, at).compareTo(settings.staleAfter()) < 0;

    Total concentrate =
        total(
            image,
            moved,
            Point.CONCENTRATE_TOTAL,
            before.concentrateTotalMl(),
            before.concentrateAt(),
            settings.concentrate());
    Total water =
        total(
            image,
            moved,
            Point.WATER_TOTAL,
            before.waterTotalMl(),
            before.waterAt(),
            settings.water());
    double loadsNow = good(image, Point.LOADS_TOTAL);
    double loads = loadsSince(before.loadsTotal(), loadsNow);
    double worked = before.worked() + loads + litres(concentrate.flowMl()) + litres(water.flowMl());

    Map<Point, Reading> readings = new EnumMap<>(Point.class);
    Map<Point, Watch> watches = new EnumMap<>(Point.class);
    for (Point point : Point.values()) {
      Reading raw = image.raw().getOrDefault(point, Reading.bad(Reason.NOT_WIRED, at));
      if (raw.quality().good() && !alive) {
        raw = Reading.bad(Reason.STALE, at);
      }
      Check check = settings.checks().get(point);
      Watch watch = before.watches().get(point);
      if (check == null || !raw.quality().good()) {
        readings.put(point, raw);
        if (watch != null) {
          watches.put(point, watch);
        }
        continue;
      }
      Watch next = watch(check, watch, raw, worked);
      watches.put(point, next);
      readings.put(point, judged(check, next, raw, worked));
    }

    Reading level = Objects.requireNonNull(readings.get(Point.LEVEL), "every point is judged");
    boolean settledNow = image.settled() && alive && level.quality().good();
    Instant settledSince =
        !settledNow
            ? Instant.MAX
            : before.settledSince().equals(Instant.MAX) ? at : before.settledSince();
    List<TimedLevel> levels =
        settledNow
            ? window(before.settledLevels(), at, level.value(), settings.settleTime())
            : List.of();
    boolean longEnough =
        settledNow && !Duration.between(settledSince, at).minus(settings.settleTime()).isNegative();

    SignalState after =
        new SignalState(
            watches,
            concentrate.totalMl(),
            concentrate.at(),
            water.totalMl(),
            water.at(),
            Double.isNaN(loadsNow) ? before.loadsTotal() : loadsNow,
            heartbeat,
            movedAt,
            settledSince,
            levels,
            worked);
    Signals signals =
        new Signals(
            at,
            readings,
            longEnough ? median(levels) : Double.NaN,
            concentrate.flowMl(),
            water.flowMl(),
            loads,
            concentrate.reset() || water.reset(),
            settledNow,
            alive);
    return new Step(after, signals);
  }

  private static double good(Raw image, Point point) {
    Reading reading = image.raw().get(point);
    return reading == null ? Double.NaN : reading.orNaN();
  }

  private static double litres(double flowMl) {
    return Double.isNaN(flowMl) ? 0 : flowMl / 1000;
  }

  private static double loadsSince(double before, double now) {
    if (Double.isNaN(now) || Double.isNaN(before)) {
      return 0;
    }
    double difference = Math.floorMod((long) now - (long) before, (long) TWO_TO_32);
    return difference > 10_000 ? Double.NaN : difference;
  }

  private record Total(double totalMl, Instant at, double flowMl, boolean reset) {}

  /**
   * A difference beyond what the pump can have moved is a reset, not a wrap. While the PLC's
   * heartbeat stands still its totalizers say nothing new, so the time runs from the last image in
   * which it moved.
   */
  private static Total total(
      Raw image, boolean moved, Point point, double beforeMl, Instant beforeAt, Meter meter) {
    double now = good(image, point);
    if (Double.isNaN(now)) {
      return new Total(beforeMl, beforeAt, 0, false);
    }
    if (Double.isNaN(beforeMl)) {
      return new Total(now, image.at(), 0, false);
    }
    double difference = Math.floorMod((long) now - (long) beforeMl, (long) TWO_TO_32);
    double elapsedS = Math.max(0, Duration.between(beforeAt, image.at()).toMillis() / 1000.0);
    double possible = 1.5 * meter.ratedMlPerS() * (elapsedS + 1) + 2 * meter.mlPerPulse();
    return difference > possible
        ? new Total(now, image.at(), Double.NaN, true)
        : new Total(now, moved ? image.at() : beforeAt, difference, false);
  }

  private static Watch watch(Check check, @Nullable Watch before, Reading raw, double worked) {
    Instant at = raw.at();
    double value = raw.value();
    if (before == null) {
      return new Watch(value, at, Instant.MAX, value, at, worked);
    }
    boolean same = value == before.same();
    Instant sameSince = same ? before.sameSince() : at;
    double workedAtSame = same ? before.workedAtSame() : worked;
    double minutes = Math.max(0, Duration.between(before.believedAt(), at).toMillis() / 60000.0);
    boolean plausible =
        Math.abs(value - before.believed()) <= check.stepMax() + check.ratePerMin() * minutes;
    Instant doubtedSince =
        plausible
            ? Instant.MAX
            : before.doubtedSince().equals(Instant.MAX) ? at : before.doubtedSince();
    boolean believed = plausible || Duration.between(doubtedSince, at).compareTo(DOUBT_TIME) >= 0;
    return believed
        ? new Watch(value, at, Instant.MAX, value, sameSince, workedAtSame)
        : new Watch(
            before.believed(), before.believedAt(), doubtedSince, value, sameSince, workedAtSame);
  }

  private static Reading judged(Check check, Watch watch, Reading raw, double worked) {
    if (!watch.doubtedSince().equals(Instant.MAX)) {
      return new Reading(raw.value(), Quality.uncertain(Reason.RATE), raw.at());
    }
    boolean frozen =
        Duration.between(watch.sameSince(), raw.at()).compareTo(check.frozenAfter()) >= 0
            && worked - watch.workedAtSame() >= WORKED_ENOUGH;
    return frozen ? new Reading(raw.value(), Quality.uncertain(Reason.FROZEN), raw.at()) : raw;
  }

  private static List<TimedLevel> window(
      List<TimedLevel> before, Instant at, double levelL, Duration span) {
    boolean tooSoon =
        !before.isEmpty()
            && Duration.between(before.get(before.size() - 1).at(), at).compareTo(LEVEL_THINNING)
                < 0;
    if (tooSoon) {
      return before;
    }
    List<TimedLevel> levels = new ArrayList<>(before.size() + 1);
    for (TimedLevel level : before) {
      if (Duration.between(level.at(), at).compareTo(span) <= 0) {
        levels.add(level);
      }
    }
    levels.add(new TimedLevel(at, levelL));
    return levels;
  }

  private static double median(List<TimedLevel> levels) {
    double[] sorted = levels.stream().mapToDouble(TimedLevel::levelL).sorted().toArray();
    int middle = sorted.length / 2;
    return sorted.length % 2 == 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
  }
}
