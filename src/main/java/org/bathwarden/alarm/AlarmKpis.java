package org.bathwarden.alarm;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import java.util.stream.Collectors;

/**
 * Performance figures of an alarm system per operator position, as ISA-18.2 clause 16.4 and IEC
 * 62682 define them. Only annunciated alarms count ({@link AlarmChange#annunciates}).
 */
public final class AlarmKpis {
  private static final Duration PERIOD = Duration.ofMinutes(10);
  private static final int FLOOD_STARTS_ABOVE = 10;
  private static final int FLOOD_ENDS_BELOW = 5;
  private static final Duration STALE_AFTER = Duration.ofHours(24);
  private static final int CHATTERING_FROM = 3;
  private static final Duration CHATTERING_WITHIN = Duration.ofMinutes(1);

  private AlarmKpis() {}

  /**
   * Mean number of alarms in a unit of time.
   *
   * @param count annunciated alarms
   * @param observed length of the observation; not positive gives NaN
   * @param unit 10 minutes, an hour, a day
   */
  public static double rate(int count, Duration observed, Duration unit) {
    if (observed.isNegative() || observed.isZero()) {
      return Double.NaN;
    }
    return count * ((double) unit.toMillis() / observed.toMillis());
  }

  /**
   * Alarm floods: from the 10-minute period with more than 10 alarms to the one with fewer than 5.
   *
   * @param annunciated times of annunciation
   * @param from start of the first period
   * @param to end of the observation; a flood that still runs ends there
   */
  public static List<Flood> floods(List<Instant> annunciated, Instant from, Instant to) {
    List<Flood> floods = new ArrayList<>();
    boolean flooding = false;
    Instant start = from;
    int alarms = 0;
    for (Instant period = from; period.isBefore(to); period = period.plus(PERIOD)) {
      int count = count(annunciated, period, period.plus(PERIOD));
      if (!flooding && count > FLOOD_STARTS_ABOVE) {
        flooding = true;
        start = period;
        alarms = 0;
      } else if (flooding && count < FLOOD_ENDS_BELOW) {
        flooding = false;
        floods.add(new Flood(start, period, alarms));
      }
      alarms += count;
    }
    if (flooding) {
      floods.add(new Flood(start, to, alarms));
    }
    return List.copyOf(floods);
  }

  private static int count(List<Instant> times, Instant from, Instant to) {
    return (int) times.stream().filter(t -> !t.isBefore(from) && t.isBefore(to)).count();
  }

  /** Alarms that are active for more than 24 h and not put aside. */
  public static List<AlarmKey> stale(AlarmState state, Instant steady) {
    return state.alarms().entrySet().stream()
        .filter(e -> !e.getValue().life().aside())
        .filter(
            e ->
                e.getValue()
                    .activeSince()
                    .map(s -> Duration.between(s.steady(), steady).compareTo(STALE_AFTER) > 0)
                    .orElse(false))
        .map(Map.Entry::getKey)
        .toList();
  }

  /**
   * Whether an alarm chatters: 3 or more activations within one minute.
   *
   * @param activations of one alarm, in order of time
   */
  public static boolean chattering(List<Instant> activations) {
    for (int i = CHATTERING_FROM - 1; i < activations.size(); i++) {
      Duration span =
          Duration.between(activations.get(i - CHATTERING_FROM + 1), activations.get(i));
      if (span.compareTo(CHATTERING_WITHIN) <= 0) {
        return true;
      }
    }
    return false;
  }

  /** Share of each priority among annunciated alarms, 0 to 1; NaN each if there were none. */
  public static Map<Priority, Double> priorityMix(List<Priority> annunciated) {
    Map<Priority, Double> mix = new EnumMap<>(Priority.class);
    for (Priority priority : Priority.values()) {
      double n = annunciated.stream().filter(p -> p == priority).count();
      mix.put(priority, n / annunciated.size());
    }
    return mix;
  }

  /** Share of the ten most frequent alarms among all annunciated ones; NaN if there were none. */
  public static double topTenShare(List<String> annunciated) {
    double inTopTen =
        annunciated.stream()
            .collect(Collectors.groupingBy(Function.identity(), Collectors.counting()))
            .values()
            .stream()
            .sorted((a, b) -> Long.compare(b, a))
            .limit(10)
            .mapToLong(n -> n)
            .sum();
    return inTopTen / annunciated.size();
  }

  /**
   * One alarm flood.
   *
   * @param start start of its first period
   * @param end start of the period in which it ended
   * @param alarms annunciated alarms in it
   */
  public record Flood(Instant start, Instant end, int alarms) {}
}
