package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

/** A result that comes hours after its sample counts as if it had come at once. */
class LateTitrationTest {

  private static final Duration LATE = Duration.ofHours(12);

  private static List<Entry> told(Bench bench) {
    Stamp first = bench.stamp();
    Stamp second = bench.stamp();
    Stamp third = bench.stamp();
    return List.of(
        Bench.titration(9.7, first),
        new Entry.Addition(second, Product.CONCENTRATE, 3, false, Optional.empty()),
        Bench.titration(9.9, third));
  }

  /** A working bath; what is told in hour one is entered then, or in the end. */
  private static Bench day(boolean late, boolean backwards, Duration wallAhead) {
    Bench bench = new Bench(Mode.OFF);
    bench.wallAhead = wallAhead;
    work(bench, Duration.ofHours(1));
    List<Entry> entries = new ArrayList<>(told(bench));
    if (backwards) {
      Collections.reverse(entries);
    }
    if (!late) {
      entries.forEach(bench::enter);
    }
    work(bench, LATE);
    if (late) {
      entries.forEach(bench::enter);
    }
    work(bench, Duration.ofMinutes(10));
    return bench;
  }

  /** Loads pass, each carries liquid out. */
  private static void work(Bench bench, Duration time) {
    for (long minute = 0; minute < time.toMinutes(); minute++) {
      if (minute % 10 == 0) {
        bench.loads++;
        bench.level(bench.volumeL - 0.5);
      }
      bench.coarse(Duration.ofMinutes(1), 60);
    }
  }

  private static void assertAlike(Bench a, Bench b) {
    assertEquals(a.estimate().concentrationPct(), b.estimate().concentrationPct(), 1e-9);
    assertEquals(a.estimate().concentrationUPct(), b.estimate().concentrationUPct(), 1e-9);
    assertEquals(a.estimate().volumeL(), b.estimate().volumeL(), 1e-7);
    assertEquals(a.estimate().lossPerLoadL(), b.estimate().lossPerLoadL(), 1e-9);
    assertEquals(a.estimate().lastAcceptedTitration(), b.estimate().lastAcceptedTitration());
  }

  @Test
  void twelveHoursLateCountsAsInTime() {
    Bench inTime = day(false, false, Duration.ZERO);
    Bench late = day(true, false, Duration.ZERO);

    assertEquals(List.of(), late.refusals());
    assertTrue(inTime.estimate().lastAcceptedTitration().isPresent());
    assertAlike(inTime, late);
  }

  @Test
  void theOrderOfEntriesDoesNotMatter() {
    assertAlike(day(false, false, Duration.ZERO), day(true, true, Duration.ZERO));
  }

  @Test
  void aWallClockThatIsOffChangesNothing() {
    assertAlike(day(true, false, Duration.ZERO), day(true, false, Duration.ofMinutes(-37)));
  }

  @Test
  void aTitrationThatIsNotEnteredIsMissed() {
    Bench without = new Bench(Mode.OFF);
    work(without, LATE.plusMinutes(70));

    assertNotEquals(
        day(false, false, Duration.ZERO).estimate().concentrationPct(),
        without.estimate().concentrationPct(),
        1e-3);
  }

  @Test
  void aLateResultDecidesNoPastOrderAnew() {
    Bench bench = Bench.ready(Mode.COMMAND);
    Stamp sample = bench.stamp();
    double then = bench.truePct();
    bench.believe(8.5);
    bench.run(1800);
    int before = bench.facts.size();
    List<DosingEvent.OrderClosed> closed = bench.events(DosingEvent.OrderClosed.class);
    var ledger = bench.state.dosing().ledger().flows();
    var book = bench.state.dosing().book().open();
    assertTrue(closed.size() > 0);

    bench.enter(Bench.titration(then, sample));
    bench.run(1);

    assertEquals(closed, bench.events(DosingEvent.OrderClosed.class));
    assertEquals(ledger, bench.state.dosing().ledger().flows());
    assertEquals(book, bench.state.dosing().book().open());
    assertTrue(
        bench.facts.subList(before, bench.facts.size()).stream()
            .anyMatch(Fact.TitrationJudged.class::isInstance));
  }
}
