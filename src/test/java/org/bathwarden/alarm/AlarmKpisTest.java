package org.bathwarden.alarm;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/**
 * Worked example 25 of the reference tables (alarm rates); definitions from ANSI/ISA-18.2-2016
 * clause 16.4.
 */
class AlarmKpisTest {
  private static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  @Test
  void forty_seven_alarms_in_eight_hours() {
    Duration observed = Duration.ofHours(8);
    assertEquals(5.875, AlarmKpis.rate(47, observed, Duration.ofHours(1)), 1e-12);
    assertEquals(0.9792, AlarmKpis.rate(47, observed, Duration.ofMinutes(10)), 5e-5);
    assertTrue(Double.isNaN(AlarmKpis.rate(1, Duration.ZERO, Duration.ofHours(1))));
  }

  @Test
  void fourteen_alarms_in_a_period_start_a_flood_that_four_in_the_next_end() {
    List<Instant> times = new ArrayList<>(spread(14, START));
    times.addAll(spread(4, START.plus(Duration.ofMinutes(10))));
    List<AlarmKpis.Flood> floods =
        AlarmKpis.floods(times, START, START.plus(Duration.ofMinutes(30)));
    assertEquals(
        List.of(new AlarmKpis.Flood(START, START.plus(Duration.ofMinutes(10)), 14)), floods);
  }

  @Test
  void ten_alarms_in_a_period_are_no_flood_and_five_in_the_next_do_not_end_one() {
    Instant second = START.plus(Duration.ofMinutes(10));
    Instant end = START.plus(Duration.ofMinutes(20));
    assertEquals(List.of(), AlarmKpis.floods(spread(10, START), START, end));
    List<Instant> times = new ArrayList<>(spread(11, START));
    times.addAll(spread(5, second));
    assertEquals(List.of(new AlarmKpis.Flood(START, end, 16)), AlarmKpis.floods(times, START, end));
  }

  @Test
  void an_alarm_active_for_26_h_is_stale_and_for_24_h_not_yet() {
    Bench bench = new Bench();
    bench.pass(Bench.on(AlarmKey.CIRCULATION_OFF));
    Instant since = bench.now.steady();
    assertEquals(
        List.of(AlarmKey.CIRCULATION_OFF),
        AlarmKpis.stale(bench.state, since.plus(Duration.ofHours(26))));
    assertEquals(List.of(), AlarmKpis.stale(bench.state, since.plus(Duration.ofHours(24))));
  }

  @Test
  void three_activations_in_a_minute_chatter() {
    assertTrue(AlarmKpis.chattering(List.of(at(0), at(30), at(60))));
    assertFalse(AlarmKpis.chattering(List.of(at(0), at(30), at(61), at(100))));
    assertFalse(AlarmKpis.chattering(List.of(at(0), at(1))));
  }

  @Test
  void priority_mix_of_210_low_30_medium_12_high() {
    List<Priority> all =
        Stream.of(
                Collections.nCopies(210, Priority.LOW),
                Collections.nCopies(30, Priority.MEDIUM),
                Collections.nCopies(12, Priority.HIGH))
            .flatMap(List::stream)
            .toList();
    Map<Priority, Double> mix = AlarmKpis.priorityMix(all);
    assertEquals(83.3, 100 * mix.getOrDefault(Priority.LOW, 0.0), 0.05);
    assertEquals(11.9, 100 * mix.getOrDefault(Priority.MEDIUM, 0.0), 0.05);
    assertEquals(4.8, 100 * mix.getOrDefault(Priority.HIGH, 0.0), 0.05);
  }

  /** Arithmetic by hand: twelve alarms, ten of them twice, two once: 20 of 22. */
  @Test
  void share_of_the_ten_most_frequent() {
    List<String> all = new ArrayList<>();
    IntStream.range(0, 12)
        .forEach(i -> all.addAll(Collections.nCopies(i < 10 ? 2 : 1, "alarm-" + i)));
    assertEquals(20.0 / 22, AlarmKpis.topTenShare(all), 1e-12);
  }

  private static List<Instant> spread(int count, Instant from) {
    return IntStream.range(0, count).mapToObj(i -> from.plusSeconds(10L * i)).toList();
  }

  private static Instant at(int second) {
    return START.plusSeconds(second);
  }
}
