package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Ladder;
import org.bathwarden.dosing.Outlook;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.junit.jupiter.api.Test;

/** Until when a tank doses by itself, as its passes say it. */
class OutlookTest {

  private static Outlook outlook(Bench bench) {
    return bench.state.outlook().orElseThrow();
  }

  private static Instant sampledAt(Bench bench) {
    return bench.state.dosing().titration().sampledAt().orElseThrow();
  }

  @Test
  void untilTheFirstTitrationItIsHeldAndSaysWhatOneWouldBring() {
    Bench bench = new Bench(Mode.COMMAND);
    bench.run(10);
    Outlook held = outlook(bench);
    assertEquals(Ladder.HELD, held.step());
    assertTrue(held.heldBy().contains(Cause.TITRATION_OVERDUE), held.toString());
    assertFalse(held.dosesUntil().isAfter(bench.now().steady()));
    assertTrue(held.carriesTo().isAfter(bench.now().steady().plus(Duration.ofHours(2))));
    assertTrue(held.widthAfterPct() < held.widthPct(), held.toString());
    assertTrue(held.why().startsWith("Concentrate is held now: titration overdue"), held.why());
  }

  @Test
  void aTitratedBathDosesForHoursAndNeverBeyondTheSiteRules() {
    Bench bench = Bench.ready(Mode.COMMAND);
    Outlook outlook = outlook(bench);
    Duration interval = bench.sheet.dosing().limits().titrationInterval();
    assertEquals(Ladder.NOT_DUE, outlook.step());
    assertTrue(outlook.dosesUntil().isAfter(bench.now().steady().plus(Duration.ofHours(1))));
    assertFalse(
        outlook.dosesUntil().isAfter(sampledAt(bench).plus(interval).plus(Duration.ofHours(4))));
    assertFalse(outlook.worthAt().isAfter(sampledAt(bench).plus(interval)));
    assertEquals(sampledAt(bench).plus(interval), outlook.due().orElseThrow().at());
  }

  @Test
  void itIsWorkedOutSeldomAndStaysAsToldUntilItMatters() {
    Bench bench = Bench.ready(Mode.OFF);
    bench.coarse(Duration.ofMinutes(11), 1);
    Outlook first = outlook(bench);
    bench.coarse(Duration.ofMinutes(4), 1);
    assertTrue(
        outlook(bench) == first || !outlook(bench).madeAt().equals(first.madeAt()),
        "the same object until it is worked out anew");
    Outlook second = outlook(bench);
    int changes = 0;
    for (int i = 0; i < 12; i++) {
      bench.coarse(Duration.ofMinutes(5), 5);
      changes += outlook(bench).dosesUntil().equals(second.dosesUntil()) ? 0 : 1;
      second = outlook(bench);
    }
    assertTrue(changes <= 3, changes + " changes in an hour of an unused bath");
    Outlook before = outlook(bench);
    bench.run(1);
    assertSame(before, outlook(bench));
  }

  @Test
  void theLadderIsDueThenOverdueThenReducedThenHeld() {
    Bench bench = Bench.ready(Mode.OFF);
    Duration interval = bench.sheet.dosing().limits().titrationInterval();
    bench.coarse(interval.minus(Duration.ofMinutes(30)), 60);
    assertEquals(Ladder.DUE, outlook(bench).step());
    bench.coarse(Duration.ofMinutes(60), 60);
    assertEquals(Ladder.OVERDUE, outlook(bench).step());
    bench.coarse(Duration.ofMinutes(100), 60);
    assertEquals(Ladder.REDUCED, outlook(bench).step());
    bench.coarse(Duration.ofMinutes(130), 60);
    assertEquals(Ladder.HELD, outlook(bench).step());
    assertEquals(Set.of(Cause.TITRATION_OVERDUE), outlook(bench).heldBy());
    assertTrue(
        bench
            .last
            .after()
            .alarm()
            .status(AlarmKey.TITRATION_OVERDUE)
            .orElseThrow()
            .evidence()
            .startsWith("the longest interval between titrations ends; "));
    bench.titrate();
    bench.until(90, () -> outlook(bench).step() == Ladder.NOT_DUE);
  }

  @Test
  void aBathThatIsNotInUseHasNone() {
    for (BathState state : List.of(BathState.STOOD_DOWN, BathState.OUT_OF_USE)) {
      Bench bench = Bench.ready(Mode.OFF);
      assertTrue(bench.state.outlook().isPresent());
      bench.enter(new Entry.BathChange(bench.stamp(), state));
      bench.run(2);
      assertEquals(state, bench.state.dosing().bath().state());
      assertTrue(bench.state.outlook().isEmpty(), state + " gets no concentrate");
    }
  }
}
