package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Role;

/** The interlocks of one tank, pass by pass. */
abstract class InterlockCase {

  static final CauseAndEffect TABLE = CauseAndEffect.standard();

  InterlockState state = InterlockState.REST;
  Now now = Plant.NOW;
  boolean starting;
  final List<InterlockEvent> events = new ArrayList<>();

  Verdict pass(Set<Cause> observed, Optional<Instant> sampledAt, Entry... entries) {
    InterlockStep step =
        Interlocks.run(TABLE, state, observed, List.of(entries), starting, sampledAt, now);
    state = step.after();
    events.addAll(step.events());
    return step.verdict();
  }

  Verdict pass(Set<Cause> observed, Entry... entries) {
    return pass(observed, Optional.empty(), entries);
  }

  void wait(Duration duration) {
    now = now.plus(duration);
  }

  static Entry reset(Cause cause, Role role) {
    return new Entry.TripReset(Plant.stamp("r"), cause.key(), role);
  }
}
