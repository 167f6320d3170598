package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.Collections;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.dosing.Cause;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Stamp.Channel;
import org.junit.jupiter.api.Test;

/** What is due, too wide, fresh or doubtful is answered at the console, not by a claim. */
class UnvouchedDueTest extends UnvouchedCase {

  /** A bath whose titration is overdue, with alarm and hold. */
  private static Bench overdue() {
    Bench bench = Bench.ready(Mode.PROPOSE);
    bench.coarse(Duration.ofHours(31), 60);
    bench.run(70);
    assertTrue(bench.last.view().verdict().active().contains(Cause.TITRATION_OVERDUE));
    assertTrue(bench.last.view().verdict().active().contains(Cause.TITRATION_LATE));
    assertTrue(bench.state.alarm().annunciated().contains(AlarmKey.TITRATION_OVERDUE));
    return bench;
  }

  private static boolean overdue(Bench bench) {
    return bench.last.view().verdict().active().contains(Cause.TITRATION_OVERDUE)
        && bench.last.view().verdict().active().contains(Cause.TITRATION_LATE)
        && bench.life(AlarmKey.TITRATION_OVERDUE) != AlarmLife.NORMAL
        && bench.life(AlarmKey.TITRATION_OVERDUE) != AlarmLife.RETURNED_UNACKNOWLEDGED;
  }

  @Test
  void whatIsDueStaysDueUntilItIsConfirmed() {
    Bench bench = overdue();
    Entry.Titration claim = bench.titrate(bench.truePct(), Channel.MQTT);
    bench.run(300);
    assertTrue(overdue(bench));

    bench.enter(new Entry.Confirmed(bench.stamp(), claim.stamp().id()));
    bench.run(300);
    assertEquals(List.of(), bench.refusals());
    assertFalse(bench.last.view().verdict().active().contains(Cause.TITRATION_OVERDUE));
    assertFalse(bench.last.view().verdict().active().contains(Cause.TITRATION_LATE));
    assertFalse(overdue(bench));
  }

  @Test
  void whatIsDueIsDoneAtTheConsole() {
    Bench bench = overdue();
    bench.titrate();
    bench.run(300);
    assertFalse(bench.last.view().verdict().active().contains(Cause.TITRATION_OVERDUE));
    assertFalse(overdue(bench));
  }

  @Test
  void anIntervalTooWideIsNotNarrowedByAClaim() {
    Bench bench = Bench.ready(Mode.PROPOSE);
    bench.shown.put(
        Point.CONDUCTIVITY, Reading.bad(Quality.Reason.FAULT_DECLARED, bench.now().steady()));
    for (int hour = 0; hour < 20; hour++) {
      bench.loads += 30;
      bench.coarse(Duration.ofHours(1), 60);
    }
    bench.run(70);
    Set<Cause> wide = EnumSet.of(Cause.INTERVAL_WIDE, Cause.INTERVAL_TOO_WIDE);
    wide.retainAll(bench.last.view().verdict().active());
    assertFalse(wide.isEmpty(), bench.estimate().toString());

    for (int i = 0; i < 2; i++) {
      bench.titrate(bench.estimate().concentrationPct(), Channel.MQTT);
      bench.run(100);
    }
    assertTrue(bench.last.view().verdict().active().containsAll(wide));

    bench.titrate(bench.estimate().concentrationPct());
    bench.run(100);
    assertTrue(Collections.disjoint(bench.last.view().verdict().active(), wide));
  }

  @Test
  void aFreshBathIsNotTitratedByAClaim() {
    Bench bench = Bench.ready(Mode.PROPOSE);
    bench.enter(new Entry.Charge(bench.stamp(), 10, 0.3));
    bench.run(5);
    Entry.Titration claim = bench.titrate(bench.truePct(), Channel.MQTT);
    bench.run(120);
    assertTrue(bench.last.view().verdict().active().contains(Cause.BATH_NOT_TITRATED));
    bench.enter(new Entry.Confirmed(bench.stamp(), claim.stamp().id()));
    bench.run(120);
    assertFalse(bench.last.view().verdict().active().contains(Cause.BATH_NOT_TITRATED));
  }

  @Test
  void aDoubtfulHighOneIsAnsweredAtTheConsoleOnly() {
    Bench bench = Bench.ready(Mode.PROPOSE);
    bench.titrate(14);
    bench.run(70);
    assertTrue(bench.state.dosing().titration().doubtfulHigh());
    for (int i = 0; i < 2; i++) {
      bench.titrate(bench.truePct(), Channel.MQTT);
      bench.run(70);
    }
    assertTrue(bench.state.dosing().titration().doubtfulHigh());
    bench.titrate();
    bench.run(70);
    assertFalse(bench.state.dosing().titration().doubtfulHigh());
  }

  @Test
  void aDoubtfulLowOneAtTheConsoleIsNotConfirmedByAClaim() {
    Twin twin = new Twin(WORKING_L, 10);
    twin.titrate(7, 0.15, Duration.ZERO, Channel.CONSOLE);
    twin.run(70);
    Optional<Instant> sampledAt = twin.state.dosing().titration().sampledAt();
    twin.titrate(7, 0.15, Duration.ZERO, Channel.MQTT);
    twin.run(70);
    assertEquals(sampledAt, twin.state.dosing().titration().sampledAt());
  }
}
