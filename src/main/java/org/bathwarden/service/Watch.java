package org.bathwarden.service;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmCondition;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Watchkeeping;
import org.bathwarden.face.Request;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/**
 * The alarms of one connection, or of the site, between rounds. For one scan thread, but for {@link
 * #offer} and {@link #state}.
 */
final class Watch {

  private static final AlarmSettings SETTINGS = AlarmSettings.defaults();

  private final BlockingQueue<Request> requests =
      new ArrayBlockingQueue<>(TankRunner.REQUESTS_WAITING_MAX);
  private volatile AlarmState state;

  Watch(AlarmState state) {
    this.state = state;
  }

  TankId name() {
    return state.tank();
  }

  AlarmState state() {
    return state;
  }

  boolean offer(Request request) {
    return requests.offer(request);
  }

  /** Causes that stand here and hide consequences in tanks. */
  Set<AlarmKey> causes() {
    return state.standingCauses();
  }

  /** What one round gave. */
  record Seen(List<AlarmChange> changes, List<Fact> facts) {}

  Seen run(List<AlarmCondition> conditions, Now now) {
    List<Request> taken = new ArrayList<>();
    requests.drainTo(taken);
    Watchkeeping.Step step =
        Watchkeeping.run(
            SETTINGS, state, conditions, taken.stream().map(Request::entry).toList(), now);
    state = step.alarms().after();
    for (Request request : taken) {
      String id = request.entry().stamp().id();
      boolean concerned = false;
      for (var answer : step.alarms().answers()) {
        if (answer.entry().stamp().id().equals(id)) {
          request
              .answerer()
              .answer(answer.accepted(), answer.accepted() ? "taken" : answer.reason());
          concerned = true;
        }
      }
      if (!concerned) {
        request.answerer().answer(false, name() + " has alarms only, no tank");
      }
    }
    return new Seen(step.alarms().changes(), step.facts());
  }

  /** Notices steps of the wall clock against the steady one. */
  static final class ClockWatch {

    /** A larger step than this blocks dosing until it has settled. */
    static final Duration STEP = Duration.ofSeconds(60);

    private static final Duration UNTRUSTED = Duration.ofMinutes(10);

    private Duration offset;
    private Instant untilSteady = Instant.MIN;

    ClockWatch(Now start) {
      this.offset = SteadyClock.offset(start);
    }

    /** Whether the clock stepped since the last round. */
    boolean stepped(Now now) {
      Duration shown = SteadyClock.offset(now);
      boolean stepped = shown.minus(offset).abs().compareTo(STEP) > 0;
      offset = shown;
      if (stepped) {
        untilSteady = now.steady().plus(UNTRUSTED);
      }
      return stepped;
    }

    boolean untrusted(Now now) {
      return now.steady().isBefore(untilSteady);
    }
  }
}
