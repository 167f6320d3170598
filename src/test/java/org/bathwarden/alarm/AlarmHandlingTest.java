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
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

/** What people do to alarms, and what becomes of it. */
class AlarmHandlingTest extends AlarmCase {

  @Test
  void shelving_ends_by_itself_also_with_a_restart_in_between() throws JsonProcessingException {
    bench.pass(on(PLAIN));
    assertTrue(bench.enter(bench.shelve(PLAIN, ofHours(1))).accepted());
    bench.later(ofMinutes(30)).pass(on(PLAIN));
    assertEquals(AlarmLife.SHELVED, bench.state.life(PLAIN));
    AlarmState read = throughJson(bench.state);
    assertEquals(bench.state, read);
    bench.state = read;
    // After the restart the wall clock was set back by an hour: only steady time counts.
    bench.now = new Now(bench.now.steady(), bench.now.wall().minus(ofHours(1)));
    bench.later(ofMinutes(29)).pass(on(PLAIN));
    assertEquals(AlarmLife.SHELVED, bench.state.life(PLAIN));
    bench.later(ofMinutes(1)).pass(on(PLAIN));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(PLAIN));
    assertEquals(
        List.of(
            "wash-1/concentration-low/1",
            "wash-1/concentration-low/2",
            "wash-1/concentration-low/3"),
        bench.changes.stream().map(AlarmChange::eventId).toList());
  }

  @Test
  void shelving_that_ends_with_the_process_normal_ends_in_silence() {
    bench.pass(on(PLAIN));
    bench.enter(bench.shelve(PLAIN, ofMinutes(10)));
    bench.hold(ofMinutes(11), off(PLAIN));
    assertEquals(AlarmLife.NORMAL, bench.state.life(PLAIN));
    assertEquals(1, bench.annunciations());
  }

  @Test
  void shelving_has_a_maximum_a_reason_and_an_end_by_hand() {
    bench.pass(on(PLAIN));
    assertFalse(bench.enter(bench.shelve(PLAIN, ofHours(3))).accepted());
    assertFalse(bench.enter(bench.shelve(PLAIN, ofHours(-1))).accepted());
    Entry silent = new Entry.Shelve(bench.stamp(Stamp.Channel.MQTT), PLAIN.key(), ofHours(1), " ");
    assertFalse(bench.enter(silent).accepted());
    assertFalse(bench.enter(bench.shelve(PLAIN, Duration.ZERO)).accepted());
    assertTrue(bench.enter(bench.shelve(PLAIN, ofHours(2))).accepted());
    assertFalse(bench.enter(bench.shelve(PLAIN, ofHours(2))).accepted());
    assertTrue(bench.enter(bench.shelve(PLAIN, Duration.ZERO)).accepted());
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(PLAIN));
  }

  @Test
  void out_of_service_needs_the_console_and_does_not_end_by_itself() {
    bench.pass(on(PLAIN));
    AlarmStep.Answer refused = bench.enter(bench.service(PLAIN, true, Stamp.Channel.MQTT));
    assertFalse(refused.accepted());
    assertTrue(refused.reason().contains("MQTT"), refused.reason());
    assertTrue(bench.enter(bench.service(PLAIN, true, Stamp.Channel.CONSOLE)).accepted());
    bench.later(Duration.ofDays(90)).pass(on(PLAIN));
    assertEquals(AlarmLife.OUT_OF_SERVICE, bench.state.life(PLAIN));
    assertTrue(bench.enter(bench.service(PLAIN, false, Stamp.Channel.CONSOLE)).accepted());
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(PLAIN));
  }

  @Test
  void acknowledging_changes_the_acknowledged_alarm_and_nothing_else() {
    bench.pass(on(PLAIN), on(LATCHING), on(AlarmKey.WRONG_PRODUCT));
    Map<AlarmKey, AlarmStatus> before = new EnumMap<>(bench.state.alarms());
    AlarmStep step = bench.pass(List.of(), List.of(bench.acknowledge(PLAIN)));
    Map<AlarmKey, AlarmStatus> after = new EnumMap<>(step.after().alarms());
    AlarmStatus was = before.remove(PLAIN);
    AlarmStatus is = after.remove(PLAIN);
    assertEquals(before, after);
    assertEquals(was.moved(AlarmLife.ACKNOWLEDGED, bench.now), is);
    assertTrue(bench.state.active(PLAIN), "the process is as abnormal as before");
    AlarmChange change = step.changes().get(0);
    assertEquals("R. Vale", change.author());
    assertEquals("seen", change.comment());
    assertEquals(1, step.changes().size());
  }

  @Test
  void a_repeated_acknowledge_and_an_unknown_alarm_are_refused_with_a_reason() {
    bench.pass(on(PLAIN));
    assertTrue(bench.enter(bench.acknowledge(PLAIN)).accepted());
    AlarmStep.Answer again = bench.enter(bench.acknowledge(PLAIN));
    assertFalse(again.accepted());
    assertEquals("concentration-low is already acknowledged", again.reason());
    AlarmStep.Answer normal = bench.enter(bench.acknowledge(AlarmKey.LEVEL_HIGH));
    assertEquals("level-high is normal: there is nothing to acknowledge", normal.reason());
    Entry unknown = new Entry.Acknowledge(bench.stamp(Stamp.Channel.MQTT), "level-hihg", "");
    assertEquals("no alarm is called 'level-hihg'", bench.enter(unknown).reason());
  }

  @Test
  void an_acknowledge_does_not_swallow_an_occurrence_that_its_author_had_not_seen() {
    bench.pass(on(PLAIN));
    bench.hold(ofMinutes(2), off(PLAIN));
    bench.later(ofSeconds(1));
    bench.pass(List.of(on(PLAIN)), List.of(bench.acknowledge(PLAIN)));
    assertEquals(AlarmLife.UNACKNOWLEDGED, bench.state.life(PLAIN));
  }

  @Test
  void each_wish_is_carried_out_in_the_states_of_the_diagram_and_refused_in_all_others() {
    for (AlarmLife life : AlarmLife.values()) {
      for (Happening wish :
          List.of(
              Happening.ACKNOWLEDGED,
              Happening.RESET,
              Happening.SHELVED,
              Happening.UNSHELVED,
              Happening.REMOVED_FROM_SERVICE,
              Happening.RETURNED_TO_SERVICE)) {
        Bench one = broughtTo(life);
        boolean allowed = Transitions.next(life, wish, false, true).isPresent();
        AlarmStep.Answer answer = one.enter(wish(one, wish));
        assertEquals(allowed, answer.accepted(), life + " " + wish + " " + answer.reason());
        assertEquals(allowed, answer.reason().isEmpty(), life + " " + wish);
      }
    }
  }

  private static Entry wish(Bench one, Happening wish) {
    return switch (wish) {
      case ACKNOWLEDGED -> one.acknowledge(LATCHING);
      case RESET -> one.reset(LATCHING);
      case SHELVED -> one.shelve(LATCHING, ofMinutes(5));
      case UNSHELVED -> one.shelve(LATCHING, Duration.ZERO);
      case REMOVED_FROM_SERVICE -> one.service(LATCHING, true, Stamp.Channel.CONSOLE);
      case RETURNED_TO_SERVICE -> one.service(LATCHING, false, Stamp.Channel.CONSOLE);
      default -> throw new AssertionError(wish);
    };
  }

  private static Bench broughtTo(AlarmLife life) {
    Bench one = new Bench();
    if (life == AlarmLife.RETURNED_UNACKNOWLEDGED) {
      AlarmDefinition latching = one.settings.of(LATCHING);
      one.settings = one.settings.with(Definitions.notLatching(latching));
    }
    if (life == AlarmLife.NORMAL) {
      return one;
    }
    one.pass(on(LATCHING));
    switch (life) {
      case ACKNOWLEDGED -> one.enter(one.acknowledge(LATCHING));
      case RETURNED_UNACKNOWLEDGED, LATCHED_UNACKNOWLEDGED -> one.hold(ofMinutes(2), off(LATCHING));
      case LATCHED_ACKNOWLEDGED -> {
        one.hold(ofMinutes(2), off(LATCHING));
        one.enter(one.acknowledge(LATCHING));
      }
      case SHELVED -> one.enter(one.shelve(LATCHING, ofMinutes(5)));
      case SUPPRESSED_BY_DESIGN -> {
        one.bath = BathState.EMPTY;
        one.pass();
      }
      case OUT_OF_SERVICE -> one.enter(one.service(LATCHING, true, Stamp.Channel.CONSOLE));
      default -> {}
    }
    assertEquals(life, one.state.life(LATCHING));
    return one;
  }
}
