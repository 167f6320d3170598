package org.bathwarden.face.metrics;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.lang.ref.WeakReference;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.locks.LockSupport;
import org.bathwarden.face.Samples;
import org.junit.jupiter.api.Test;

class MetricsTest {
  private final Metrics metrics = new Metrics();

  private String line(String start) {
    return metrics
        .scrape()
        .lines()
        .filter(l -> l.startsWith(start))
        .findFirst()
        .orElse("no " + start);
  }

  @Test
  void a_tank_shows_estimate_interval_and_the_quality_of_its_points() {
    metrics.tank(Samples.full("wash-1"));
    assertEquals(
        "bathwarden_concentration_pct{tank=\"wash-1\"} 4.8", line("bathwarden_concentration_pct"));
    assertEquals(
        "bathwarden_dosing_left_s{tank=\"wash-1\"} 20000.0", line("bathwarden_dosing_left_s"));
    assertEquals(
        "bathwarden_titration_worth_pct{tank=\"wash-1\"} 1.25",
        line("bathwarden_titration_worth_pct"));
    assertEquals(
        "bathwarden_concentration_from_pct{tank=\"wash-1\"} 4.5",
        line("bathwarden_concentration_from_pct"));
    assertEquals(
        "bathwarden_point_quality{point=\"ph\",tank=\"wash-1\"} 0.0",
        line("bathwarden_point_quality{point=\"ph\""));
    assertEquals(
        "bathwarden_point_value{point=\"ph\",tank=\"wash-1\"} NaN",
        line("bathwarden_point_value{point=\"ph\""));
  }

  @Test
  void figures_stay_numbers_after_a_collection_of_garbage() {
    metrics.tank(Samples.full("wash-1"));
    metrics.watch("outbox.depth", "events not yet at the broker", () -> 17);
    collectGarbage();
    assertEquals(
        "bathwarden_concentration_pct{tank=\"wash-1\"} 4.8", line("bathwarden_concentration_pct"));
    assertEquals("bathwarden_outbox_depth 17.0", line("bathwarden_outbox_depth"));
  }

  /** Collects until an object without references is gone, so that the collection did happen. */
  private static void collectGarbage() {
    WeakReference<Object> witness = new WeakReference<>(new Object());
    for (int i = 0; i < 200 && witness.get() != null; i++) {
      System.gc();
      LockSupport.parkNanos(1_000_000);
    }
    assertEquals(null, witness.get());
  }

  @Test
  void what_is_no_longer_known_is_no_number() {
    metrics.tank(Samples.full("wash-1"));
    metrics.tank(Samples.bare("wash-1"));
    assertEquals(
        "bathwarden_concentration_pct{tank=\"wash-1\"} NaN", line("bathwarden_concentration_pct"));
  }

  @Test
  void scans_doses_and_alarms_are_counted() {
    metrics.scan(Duration.ofMillis(30), false);
    metrics.scan(Duration.ofMillis(300), true);
    metrics.dosed("wash-1", "concentrate", 2.5);
    metrics.dosed("wash-1", "concentrate", 1.5);
    metrics.dosed("wash-1", "concentrate", Double.NaN);
    metrics.alarms("wash-1", "high", 3, 2);
    metrics.link("hall", true);
    metrics.alarmActivated("wash-1", "high");
    assertEquals("bathwarden_scan_seconds_count 2", line("bathwarden_scan_seconds_count"));
    assertEquals(
        "bathwarden_scan_seconds_bucket{le=\"0.05\"} 1",
        line("bathwarden_scan_seconds_bucket{le=\"0.05\"}"));
    assertEquals("bathwarden_scan_overruns_total 1.0", line("bathwarden_scan_overruns_total"));
    assertEquals(
        "bathwarden_dosed_l_total{product=\"concentrate\",tank=\"wash-1\"} 4.0",
        line("bathwarden_dosed_l_total"));
    assertEquals(
        "bathwarden_doses_total{product=\"concentrate\",tank=\"wash-1\"} 3.0",
        line("bathwarden_doses_total"));
    assertEquals(
        "bathwarden_alarms{priority=\"high\",tank=\"wash-1\"} 2.0", line("bathwarden_alarms{"));
    assertEquals(
        "bathwarden_alarms_standing{priority=\"high\",tank=\"wash-1\"} 3.0",
        line("bathwarden_alarms_standing{"));
    assertEquals("bathwarden_link_up{line=\"hall\"} 1.0", line("bathwarden_link_up"));
    assertEquals(
        "bathwarden_alarm_activations_total{priority=\"high\",tank=\"wash-1\"} 1.0",
        line("bathwarden_alarm_activations_total"));
  }

  @Test
  void a_tank_shows_its_mode_what_blocks_it_and_its_order() {
    metrics.tank(Samples.full("wash-1"));
    int blocked = Samples.full("wash-1").concentrateBlockedBy().size();
    assertTrue(blocked > 0);
    assertEquals("bathwarden_mode{tank=\"wash-1\"} 1.0", line("bathwarden_mode"));
    assertEquals(
        "bathwarden_blocked{product=\"concentrate\",tank=\"wash-1\"} " + (double) blocked,
        line("bathwarden_blocked{product=\"concentrate\""));
    assertEquals("bathwarden_order_open{tank=\"wash-1\"} 1.0", line("bathwarden_order_open"));
    metrics.tank(Samples.bare("wash-1"));
    assertEquals("bathwarden_order_open{tank=\"wash-1\"} 0.0", line("bathwarden_order_open"));
  }

  @Test
  void every_metric_of_ours_says_what_it_is_and_bears_the_prefix_once() {
    metrics.scan(Duration.ofMillis(30), false);
    metrics.tank(Samples.full("wash-1"));
    metrics.dosed("wash-1", "concentrate", 2.5);
    metrics.alarms("wash-1", "high", 3, 2);
    metrics.alarmActivated("wash-1", "high");
    metrics.link("hall", true);
    metrics.watch("outbox.depth", "events not yet at the broker", () -> 17);
    List<String> help =
        metrics.scrape().lines().filter(l -> l.startsWith("# HELP bathwarden_")).toList();
    assertTrue(help.size() >= 19, help.toString());
    for (String each : help) {
      assertTrue(each.split(" ").length > 4, "no words: " + each);
      assertFalse(each.contains("bathwarden_bathwarden"), each);
    }
  }

  @Test
  void the_number_of_threads_is_shown() {
    assertTrue(
        Arrays.stream(metrics.scrape().split("\n"))
            .anyMatch(l -> l.startsWith("jvm_threads_live_threads ")));
  }
}
