package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/** What people tell late counts as if they had told it in time. */
class LateEntryTest {

  private static final EstimatorSheet SHEET = Tanks.sheet();
  private static final int LAST = 3000;

  /** Entries by the minute they happened in. */
  private static final List<Entry> ENTRIES =
      List.of(
          Tanks.drops("t1", 200, 19),
          new Entry.Addition(
              Tanks.stamp("a1", 400, 400), Product.CONCENTRATE, 6, false, Optional.empty()),
          Tanks.drops("t2", 700, 22),
          new Entry.ProbeCare(Tanks.stamp("p1", 900, 900), "conductivity", false),
          new Entry.Removal(Tanks.stamp("r1", 1000.5, 1000.5), 15, "drained"),
          Tanks.drops("blunder", 1100, 44),
          Tanks.drops("t3", 2100, 20));

  /** A working tank: loads, doses, water, wandering readings, some of them missing. */
  private static Sample sample(int minute) {
    Random random = new Random(minute);
    boolean lost = random.nextInt(40) == 0;
    return new Sample(
        Tanks.minute(minute),
        lost ? Double.NaN : 1000 + 3 * random.nextGaussian() + 10 * Math.sin(minute / 200.0),
        60 + 0.2 * random.nextGaussian(),
        random.nextInt(50) == 0 ? Double.NaN : 51 + 0.4 * random.nextGaussian(),
        12,
        minute % 500 == 499 ? 800 : 0,
        minute % 90 == 0 ? 6000 : 0,
        minute % 10 == 0 ? 1 : 0,
        true,
        true);
  }

  /** Runs all minutes; entry i is told at minute {@code told[i]}. */
  private static EstimateState run(int[] told, boolean restarts) {
    EstimateState state = Estimator.start(SHEET, Tanks.START);
    for (int minute = 0; minute <= LAST; minute++) {
      List<Entry> now = new ArrayList<>();
      for (int i = 0; i < told.length; i++) {
        if (told[i] == minute) {
          now.add(ENTRIES.get(i));
        }
      }
      Collections.reverse(now);
      state = Estimator.run(SHEET, state, sample(minute), now);
      if (restarts && minute % 333 == 0) {
        state = EstimateState.restore(state.snapshot()).orElseThrow();
      }
    }
    return state;
  }

  private static int[] onTime() {
    return ENTRIES.stream()
        .mapToInt(
            entry ->
                (int)
                    Math.ceil(
                        (entry.stamp().happenedAt().toEpochMilli() - Tanks.START.toEpochMilli())
                            / 60_000.0))
        .toArray();
  }

  private static void assertSame(EstimateState expected, EstimateState found) {
    Estimate a = Estimator.estimate(SHEET, expected);
    Estimate b = Estimator.estimate(SHEET, found);
    assertEquals(a.concentrationPct(), b.concentrationPct(), 1e-9);
    assertEquals(a.concentrationUPct(), b.concentrationUPct(), 1e-9);
    assertEquals(a.volumeL(), b.volumeL(), 1e-9);
    assertEquals(a.covarianceCV(), b.covarianceCV(), 1e-9);
    assertEquals(a.flags(), b.flags());
    assertEquals(a.certainty().probe(), b.certainty().probe(), 1e-9);
    assertEquals(expected.verdicts(), found.verdicts());
    assertEquals(expected.snapshot().now(), found.snapshot().now());
  }

  @Test
  void lateGivesWhatOnTimeGives() {
    int[] late = onTime();
    late[0] += 720;
    late[2] += 1;
    late[4] += 1500;
    late[5] += 60;
    assertSame(run(onTime(), false), run(late, false));
  }

  @Test
  void theEntriesCount() {
    int[] never = new int[ENTRIES.size()];
    Arrays.fill(never, -1);
    assertNotEquals(
        Estimator.estimate(SHEET, run(never, false)).concentrationPct(),
        Estimator.estimate(SHEET, run(onTime(), false)).concentrationPct(),
        0.01);
  }

  @Test
  void anyOrderGivesTheSame() {
    EstimateState expected = run(onTime(), false);
    Random random = new Random(11);
    for (int round = 0; round < 5; round++) {
      int[] told = onTime();
      for (int i = 0; i < told.length; i++) {
        told[i] = told[i] + random.nextInt(LAST - 120 - told[i]);
      }
      assertSame(expected, run(told, false));
    }
  }

  @Test
  void allAtOnceAtTheEndGivesTheSame() {
    int[] told = new int[ENTRIES.size()];
    Arrays.fill(told, LAST - 121);
    assertSame(run(onTime(), false), run(told, false));
  }

  @Test
  void restartsChangeNothing() {
    int[] late = onTime();
    late[0] += 1440;
    late[3] += 700;
    assertSame(run(onTime(), false), run(late, true));
  }

  @Test
  void aSnapshotHoldsTheStateExactly() {
    EstimateState state = run(onTime(), false);
    EstimateSnapshot snapshot = state.snapshot();
    assertEquals(snapshot, EstimateState.restore(snapshot).orElseThrow().snapshot());
    long bytes = 8L * snapshot.now().size() + 8L * snapshot.partial().size();
    for (EstimateSnapshot.Block block : snapshot.blocks()) {
      bytes += 8L * (block.start().size() + block.steps().size());
    }
    assertTrue(bytes < 1_000_000, bytes + " bytes");
  }

  @Test
  void aSnapshotOfAnotherLayoutIsNoState() {
    EstimateSnapshot good = Estimator.start(SHEET, Tanks.START).snapshot();
    EstimateSnapshot other =
        new EstimateSnapshot(
            -1,
            good.blocks(),
            good.now(),
            good.verdicts(),
            good.partial(),
            good.entries(),
            good.presumed(),
            good.findings(),
            good.claims(),
            good.told());
    EstimateSnapshot cut =
        new EstimateSnapshot(
            good.layout(),
            good.blocks(),
            Numbers.of(1, 2),
            good.verdicts(),
            good.partial(),
            good.entries(),
            good.presumed(),
            good.findings(),
            good.claims(),
            good.told());
    assertEquals(Optional.empty(), EstimateState.restore(other));
    assertEquals(Optional.empty(), EstimateState.restore(cut));
  }

  @Test
  void aRepeatedIdCountsOnce() {
    EstimateState once = Tanks.quietly(SHEET, Estimator.start(SHEET, Tanks.START), 0, 60);
    EstimateState twice = once;
    Entry titration = Tanks.drops("t", 30, 23);
    once = Estimator.run(SHEET, once, Tanks.quiet(61), List.of(titration));
    twice = Estimator.run(SHEET, twice, Tanks.quiet(61), List.of(titration, titration));
    once = Estimator.run(SHEET, once, Tanks.quiet(62), List.of());
    twice = Estimator.run(SHEET, twice, Tanks.quiet(62), List.of(titration));
    assertSame(once, twice);
  }

  @Test
  void whatLiesAheadOrBeforeTheStartIsLeftOut() {
    EstimateState without = Tanks.quietly(SHEET, Estimator.start(SHEET, Tanks.START), 0, 100);
    EstimateState with = Tanks.quietly(SHEET, Estimator.start(SHEET, Tanks.START), 0, 60);
    List<Entry> impossible = List.of(Tanks.drops("future", 90, 40), Tanks.drops("past", -5, 40));
    with = Estimator.run(SHEET, with, Tanks.quiet(61), impossible);
    with = Tanks.quietly(SHEET, with, 62, 100);
    assertSame(without, with);
  }

  @Test
  void aTitrationBeforeTheChargeSaysNothingOfTheFreshBath() {
    Entry charge = new Entry.Charge(Tanks.stamp("c", 300, 300), 5.2, 0.2);
    // Without a probe: what the old bath told of the probe's gain rightly stays with the tank.
    EstimateState without = Estimator.start(SHEET, Tanks.START);
    for (int i = 0; i <= 320; i++) {
      without = Estimator.run(SHEET, without, Tanks.blind(i), List.of());
    }
    EstimateState with =
        Estimator.run(SHEET, without, Tanks.blind(321), List.of(charge, Tanks.drops("t", 100, 26)));
    without = Estimator.run(SHEET, without, Tanks.blind(321), List.of(charge));
    double expected = Estimator.estimate(SHEET, without).concentrationPct();
    assertEquals(expected, Estimator.estimate(SHEET, with).concentrationPct(), 0.05);
    assertEquals(5.2, expected, 0.2);
  }

  @Test
  void secondsGiveWhatMinutesGive() {
    EstimateState minutes = Tanks.quietly(SHEET, Estimator.start(SHEET, Tanks.START), 0, 120);
    EstimateState seconds = Estimator.start(SHEET, Tanks.START);
    for (int i = 0; i <= 120 * 60; i++) {
      seconds = Estimator.run(SHEET, seconds, Tanks.quiet(i / 60.0), List.of());
    }
    assertEquals(
        Estimator.estimate(SHEET, minutes).concentrationPct(),
        Estimator.estimate(SHEET, seconds).concentrationPct(),
        1e-9);
  }

  @Test
  void aSampleCountsOnceTheMixingWaitIsOverHoweverMuchWasPoured() {
    // Three turnovers of 1000 L at 200 L/min: 15 min.
    for (double litres : new double[] {2, 40}) {
      for (double after : new double[] {5, 13.9, 15.2}) {
        EstimateState state = Estimator.start(Tanks.sheet(), Tanks.START);
        Entry pour =
            new Entry.Addition(
                Tanks.stamp("p", 60.2, 60.2), Product.CONCENTRATE, litres, false, Optional.empty());
        Entry sample = Tanks.result("t", 60.2 + after, 5 + litres / 10, 0.1);
        for (int minute = 0; minute <= 90; minute++) {
          List<Entry> told =
              minute == 61 ? List.of(pour) : minute == 80 ? List.of(sample) : List.of();
          state = Estimator.run(Tanks.sheet(), state, Tanks.quiet(minute), told);
        }
        Verdict verdict = state.verdicts().get(0).verdict();
        boolean early = after < 6 || (litres > 10 && after < 15);
        assertEquals(early, verdict == Verdict.NOT_REPRESENTATIVE, litres + " L, " + after);
      }
    }
  }
}
