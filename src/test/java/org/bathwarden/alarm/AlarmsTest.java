package org.bathwarden.alarm;

import static java.time.Duration.ofHours;
import static java.time.Duration.ofMinutes;
import static java.time.Duration.ofSeconds;
import static org.bathwarden.alarm.Bench.off;
import static org.bathwarden.alarm.Bench.on;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

class AlarmsTest extends AlarmCase {

  @Test
  void an_alarm_waits_for_its_on_delay_and_starts_again_after_a_gap() {
    AlarmCondition low = AlarmCondition.active(PLAIN, "3.9 %", "median");
    bench.hold(ofMinutes(14), low);
    assertEquals(AlarmLife.NORMAL, bench.state.life(PLAIN));
    bench.later(ofSeconds(1)).pass(off(PLAIN));
    bench.hold(ofMinutes(14), low);
    assertEquals(AlarmLife.NORMAL, bench.state.life(PLAIN));
    bench.hold(ofMinutes(2), low);
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(PLAIN));
    assertEquals("3.9 %", bench.changes.get(0).value());
  }

  @Test
  void a_standing_alarm_says_what_its_condition_says_now_without_a_new_event() {
    bench.hold(ofMinutes(16), AlarmCondition.active(PLAIN, "3.9 %", "median"));
    int before = bench.changes.size();
    bench.pass(AlarmCondition.active(PLAIN, "3.1 %", "titration"));
    assertEquals("3.1 %", bench.state.status(PLAIN).orElseThrow().value());
    assertEquals("titration", bench.state.status(PLAIN).orElseThrow().evidence());
    bench.pass(AlarmCondition.active(PLAIN, "", "titration"));
    bench.pass(AlarmCondition.unknown(PLAIN, "probe bad"));
    assertEquals("3.1 %", bench.state.status(PLAIN).orElseThrow().value(), "nothing new is said");
    assertEquals(before, bench.changes.size());
  }

  @Test
  void an_alarm_returns_after_its_off_delay_only() {
    bench.pass(on(PLAIN));
    bench.later(ofSeconds(1)).pass(off(PLAIN));
    bench.later(ofSeconds(59)).pass(off(PLAIN));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(PLAIN));
    bench.later(ofSeconds(1)).pass(off(PLAIN));
    assertEquals(AlarmLife.RETURNED_UNACKNOWLEDGED, bench.state.life(PLAIN));
  }

  @Test
  void a_condition_that_cannot_be_judged_keeps_what_stood() {
    bench.pass(on(PLAIN));
    bench.hold(ofMinutes(30), AlarmCondition.unknown(PLAIN, "probe bad"));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(PLAIN));
    bench.hold(ofMinutes(30));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(PLAIN));
  }

  @Test
  void a_signal_with_noise_inside_the_deadband_gives_one_activation() {
    assertEquals(1, activationsOfNoise(1.0));
  }

  @Test
  void the_same_noise_without_a_deadband_would_chatter() {
    assertTrue(activationsOfNoise(0) > 5);
  }

  /** Falls slowly through a limit at 60 with noise of ±0.45 (fixed seed); delays off. */
  private static long activationsOfNoise(double deadband) {
    Bench noisy = new Bench();
    AlarmDefinition slow = noisy.settings.of(AlarmKey.TEMPERATURE_LOW);
    noisy.settings = noisy.settings.with(Definitions.delays(slow, Duration.ZERO, Duration.ZERO));
    Limit limit = Limit.below(60, deadband);
    Random random = new Random(20260302);
    for (int i = 0; i < 3600; i++) {
      double value = 61 - i * 2.0 / 3600 + (random.nextDouble() - 0.5) * 0.9;
      Presence presence = limit.judge(value, noisy.state.active(AlarmKey.TEMPERATURE_LOW));
      noisy
          .later(ofSeconds(1))
          .pass(
              AlarmCondition.of(
                  AlarmKey.TEMPERATURE_LOW, presence == Presence.ACTIVE, "" + value, "noise"));
    }
    return noisy.annunciations();
  }

  @Test
  void a_value_that_is_no_number_is_not_judged() {
    assertEquals(Presence.UNKNOWN, Limit.above(10, 1).judge(Double.NaN, true));
    assertEquals(Presence.UNKNOWN, Limit.above(10, 1).judge(Double.POSITIVE_INFINITY, false));
    assertEquals(Presence.ACTIVE, Limit.above(10, 1).judge(9.5, true));
    assertEquals(Presence.NORMAL, Limit.above(10, 1).judge(9.5, false));
    assertEquals(Presence.NORMAL, Limit.above(10, 1).judge(9.0, true));
  }

  @Test
  void a_lost_line_with_twenty_tags_and_more_is_one_alarm() {
    List<AlarmCondition> tags = tagsOfTheLine();
    assertTrue(tags.size() >= 20, "tags: " + tags.size());
    List<AlarmCondition> all = new ArrayList<>(tags);
    all.add(AlarmCondition.active(AlarmKey.LINE_LOST, "no answer", "connection 1"));
    bench.hold(ofHours(1), all.toArray(AlarmCondition[]::new));
    assertEquals(Set.of(AlarmKey.LINE_LOST), bench.state.annunciated());
    assertEquals(1, bench.annunciations());
    for (AlarmCondition tag : tags) {
      assertEquals(AlarmLife.SUPPRESSED_BY_DESIGN, bench.state.life(tag.key()), tag.key().key());
    }
    bench.hold(ofHours(1), everythingNormal());
    assertEquals(1, bench.annunciations());
    assertTrue(tags.stream().allMatch(t -> bench.state.life(t.key()) == AlarmLife.NORMAL));
  }

  @Test
  void without_the_cause_the_same_tags_would_be_a_flood() {
    bench.hold(ofHours(1), tagsOfTheLine().toArray(AlarmCondition[]::new));
    assertTrue(bench.annunciations() > 10, "" + bench.annunciations());
  }

  @Test
  void a_cause_that_stands_at_the_line_hides_the_tags_of_each_tank() {
    bench.causesElsewhere = Set.of(AlarmKey.LINE_LOST);
    bench.hold(ofHours(1), tagsOfTheLine().toArray(AlarmCondition[]::new));
    assertEquals(0, bench.annunciations());
    bench.causesElsewhere = Set.of();
    bench.hold(ofMinutes(61), on(AlarmKey.LEVEL_BAD));
    assertTrue(bench.state.annunciated().contains(AlarmKey.LEVEL_BAD));
  }

  @Test
  void what_already_called_is_not_hidden_by_a_later_cause() {
    bench.pass(on(AlarmKey.LEVEL_OVERFILL));
    bench.hold(
        ofMinutes(1), on(AlarmKey.LINE_LOST), AlarmCondition.unknown(AlarmKey.LEVEL_OVERFILL, ""));
    assertEquals(Set.of(AlarmKey.LEVEL_OVERFILL, AlarmKey.LINE_LOST), bench.state.annunciated());
  }

  @Test
  void a_cause_out_of_service_hides_nothing() {
    bench.enter(bench.service(AlarmKey.LINE_LOST, true, Stamp.Channel.CONSOLE));
    bench.hold(ofMinutes(2), on(AlarmKey.LINE_LOST), on(AlarmKey.LEVEL_BAD));
    assertEquals(Set.of(AlarmKey.LEVEL_BAD), bench.state.annunciated());
  }

  @Test
  void the_bath_state_suppresses_and_its_end_shows_what_stands() {
    bench.pass(on(PLAIN));
    bench.bath = BathState.DRAINING;
    bench.later(ofSeconds(1)).pass(on(PLAIN), on(AlarmKey.LEVEL_LOW));
    assertEquals(Set.of(), bench.state.annunciated());
    assertEquals(AlarmLife.SUPPRESSED_BY_DESIGN, bench.state.life(PLAIN));
    bench.bath = BathState.IN_USE;
    bench.later(ofSeconds(1)).pass(on(PLAIN), off(AlarmKey.LEVEL_LOW));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(PLAIN));
  }

  @Test
  void an_alarm_whose_cause_went_away_calls_with_its_value_and_evidence() {
    AlarmCondition lost =
        AlarmCondition.of(AlarmKey.COMMAND_LOST, true, "not commanding", "memory lost");
    bench.causesElsewhere = Set.of(AlarmKey.LINE_LOST);
    bench.later(ofSeconds(1)).pass(lost);
    assertEquals(AlarmLife.SUPPRESSED_BY_DESIGN, bench.state.life(AlarmKey.COMMAND_LOST));
    bench.causesElsewhere = Set.of();
    bench.later(ofSeconds(1)).pass(lost);
    AlarmChange call = bench.changes.get(bench.changes.size() - 1);
    assertEquals(AlarmLife.UNACKNOWLEDGED, call.to());
    assertEquals("not commanding", call.value());
    assertEquals("memory lost", call.evidence());
  }

  @Test
  void a_latched_alarm_stays_until_it_is_acknowledged_and_reset() {
    bench.pass(on(LATCHING));
    assertFalse(bench.enter(bench.reset(LATCHING)).accepted());
    bench.hold(ofMinutes(2), off(LATCHING));
    assertEquals(AlarmLife.LATCHED_UNACKNOWLEDGED, bench.state.life(LATCHING));
    assertFalse(bench.enter(bench.reset(LATCHING)).accepted());
    assertTrue(bench.enter(bench.acknowledge(LATCHING)).accepted());
    assertEquals(AlarmLife.LATCHED_ACKNOWLEDGED, bench.state.life(LATCHING));
    bench.later(ofSeconds(1)).pass(on(LATCHING));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(LATCHING), "a new occurrence calls");
    bench.enter(bench.acknowledge(LATCHING));
    bench.hold(ofMinutes(2), off(LATCHING));
    assertTrue(bench.enter(bench.reset(LATCHING)).accepted());
    assertEquals(AlarmLife.NORMAL, bench.state.life(LATCHING));
  }

  @Test
  void a_bypass_calls_again_each_shift() {
    bench.pass(on(AlarmKey.BYPASS_ACTIVE));
    bench.enter(bench.acknowledge(AlarmKey.BYPASS_ACTIVE));
    bench.later(ofHours(8).minusSeconds(1)).pass(on(AlarmKey.BYPASS_ACTIVE));
    assertEquals(AlarmLife.ACKNOWLEDGED, bench.state.life(AlarmKey.BYPASS_ACTIVE));
    bench.later(ofSeconds(1)).pass(on(AlarmKey.BYPASS_ACTIVE));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(AlarmKey.BYPASS_ACTIVE));
  }

  @Test
  void a_priority_that_rises_calls_again_and_does_not_fall_while_the_alarm_stands() {
    AlarmCondition low = on(AlarmKey.CONCENTRATE_OUT);
    bench.pass(low);
    bench.enter(bench.acknowledge(AlarmKey.CONCENTRATE_OUT));
    bench.later(ofSeconds(1)).pass(low.atLeast(Priority.MEDIUM));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(AlarmKey.CONCENTRATE_OUT));
    assertEquals(Priority.MEDIUM, bench.changes.get(2).priority());
    bench.later(ofSeconds(1)).pass(low.atLeast(Priority.HIGH));
    assertEquals(Happening.PRIORITY_RAISED, bench.changes.get(3).what());
    bench.later(ofSeconds(1)).pass(low);
    assertEquals(4, bench.changes.size());
  }

  @Test
  void three_states_survive_a_restart_exactly() throws JsonProcessingException {
    bench.pass(on(PLAIN), on(AlarmKey.LEVEL_BAD), on(AlarmKey.CHECK_FAILED));
    bench.enter(bench.acknowledge(PLAIN));
    bench.enter(bench.shelve(AlarmKey.LEVEL_BAD, ofHours(1)));
    AlarmState read = throughJson(bench.state);
    assertEquals(AlarmLife.ACKNOWLEDGED, read.life(PLAIN));
    assertEquals(AlarmLife.SHELVED, read.life(AlarmKey.LEVEL_BAD));
    assertEquals(AlarmLife.UNACKNOWLEDGED, read.life(AlarmKey.CHECK_FAILED));
    assertEquals(bench.state, read);
  }

  private static List<AlarmCondition> tagsOfTheLine() {
    return AlarmCatalogue.defaults().stream()
        .filter(d -> d.hiddenBy().contains(AlarmKey.LINE_LOST))
        .map(d -> AlarmCondition.active(d.key(), "bad", "no link"))
        .toList();
  }

  private static AlarmCondition[] everythingNormal() {
    return Arrays.stream(AlarmKey.values()).map(Bench::off).toArray(AlarmCondition[]::new);
  }

  @Test
  void the_same_input_gives_the_same_output() {
    AlarmInput input =
        new AlarmInput(
            List.of(on(PLAIN)), BathState.IN_USE, Set.of(), List.of(), Now.at(Instant.EPOCH));
    AlarmState state = AlarmState.initial(Bench.TANK);
    assertEquals(
        Alarms.run(bench.settings, state, input), Alarms.run(bench.settings, state, input));
  }
}
