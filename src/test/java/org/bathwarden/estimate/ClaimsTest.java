package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.Titration;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

/** Titrations that nobody vouches for are weighed beside the rest and never become part of it. */
class ClaimsTest {

  private static final EstimatorSheet SHEET = Tanks.sheet();
  private static final int LAST = 200;

  private static Titration claimed(Titration t) {
    Stamp s = t.stamp();
    return new Titration(
        new Stamp(s.id(), s.tank(), s.author(), Stamp.Channel.MQTT, s.enteredAt(), s.happenedAt()),
        t.value(),
        t.unit(),
        t.endPoint(),
        t.uPct(),
        t.note());
  }

  private static Titration low(String id, double minute) {
    return Tanks.result(id, minute, 4.6, 0.1);
  }

  private static Entry confirmed(String titration, double minute) {
    return new Entry.Confirmed(Tanks.stamp("by", minute, minute), titration);
  }

  /** Runs all minutes; each entry is told at its minute. */
  private static EstimateState run(Map<Integer, List<Entry>> told, boolean restarts) {
    EstimateState state = Estimator.start(SHEET, Tanks.START);
    for (int minute = 0; minute <= LAST; minute++) {
      state =
          Estimator.run(SHEET, state, Tanks.quiet(minute), told.getOrDefault(minute, List.of()));
      if (restarts && minute % 17 == 0) {
        state = EstimateState.restore(state.snapshot()).orElseThrow();
      }
    }
    return state;
  }

  private static Map<Integer, List<Entry>> at(int minute, Entry... entries) {
    Map<Integer, List<Entry>> told = new TreeMap<>();
    told.put(minute, List.of(entries));
    return told;
  }

  private static Map<Integer, List<Entry>> and(
      Map<Integer, List<Entry>> first, Map<Integer, List<Entry>> second) {
    Map<Integer, List<Entry>> both = new TreeMap<>(first);
    second.forEach(
        (minute, entries) ->
            both.merge(
                minute,
                entries,
                (a, b) -> {
                  List<Entry> all = new ArrayList<>(b);
                  all.addAll(a);
                  return all;
                }));
    return both;
  }

  private static Estimate estimate(EstimateState state) {
    return Estimator.estimate(SHEET, state);
  }

  private static Estimate vouched(EstimateState state) {
    return Estimator.vouched(SHEET, state);
  }

  @Test
  void withoutItEverythingIsAsIfItHadNeverBeenSent() {
    EstimateState never = run(Map.of(), false);
    EstimateState claim = run(at(61, claimed(low("a", 60.5))), false);
    assertEquals(estimate(never), vouched(claim));
    assertEquals(never.snapshot().now(), claim.snapshot().now());
    assertEquals(estimate(never).lastAcceptedTitration(), estimate(claim).lastAcceptedTitration());
  }

  @Test
  void withItTheEstimateIsWhatAVouchedOneGives() {
    Estimate claim = estimate(run(at(61, claimed(low("a", 60.5))), false));
    Estimate console = estimate(run(at(61, low("a", 60.5)), false));
    assertNotEquals(
        estimate(run(Map.of(), false)).concentrationPct(), claim.concentrationPct(), 0.05);
    assertEquals(console.concentrationPct(), claim.concentrationPct(), 1e-9);
    assertEquals(console.concentrationUPct(), claim.concentrationUPct(), 1e-9);
  }

  @Test
  void confirmedItIsAVouchedOne() {
    EstimateState console = run(at(61, low("a", 60.5)), false);
    EstimateState confirmed =
        run(and(at(61, claimed(low("a", 60.5))), at(130, confirmed("a", 130))), false);
    assertEquals(estimate(console), estimate(confirmed));
    assertEquals(estimate(console), vouched(confirmed));
    assertEquals(console.verdicts(), confirmed.verdicts());
    assertEquals(List.of(), confirmed.waiting());
  }

  @Test
  void neitherOrderNorRestartMatters() {
    Entry early = Tanks.drops("console", 40.5, 21);
    Entry claim = claimed(low("a", 60.5));
    Entry second = claimed(low("b", 90.5));
    EstimateState inTime = run(and(and(at(41, early), at(61, claim)), at(91, second)), false);
    EstimateState late = run(and(and(at(41, second), at(150, claim)), at(170, early)), false);
    EstimateState atOnce = run(at(199, second, claim, early), false);
    EstimateState restarted = run(and(and(at(92, second), at(99, claim)), at(120, early)), true);
    EstimateState expected = run(and(and(at(41, early), at(61, claim)), at(91, second)), true);
    assertEquals(2, inTime.waiting().size());
    assertEquals(estimate(inTime), estimate(expected));
    for (EstimateState other : List.of(atOnce, restarted)) {
      assertEquals(inTime.waiting(), other.waiting());
      assertEquals(inTime.verdicts(), other.verdicts());
      assertEquals(estimate(inTime).concentrationPct(), estimate(other).concentrationPct(), 1e-9);
      assertEquals(vouched(inTime), vouched(other));
    }
    // A claim from the future by the time it was told says nothing, like any other entry.
    assertEquals(List.of("a"), late.waiting().stream().map(c -> c.stamp().id()).toList());
  }

  @Test
  void aVouchedOneOfALaterSampleTakesItsPlaceAndAnEarlierOneDoesNot() {
    Map<Integer, List<Entry>> claim = at(61, claimed(low("a", 60.5)));
    EstimateState earlier = run(and(claim, at(100, Tanks.result("c", 50.5, 5, 0.1))), false);
    assertEquals(1, earlier.waiting().size());
    EstimateState later = run(and(claim, at(100, Tanks.result("c", 99.5, 5, 0.1))), false);
    assertEquals(List.of(), later.waiting());
    assertEquals(estimate(run(at(100, Tanks.result("c", 99.5, 5, 0.1)), false)), estimate(later));
  }

  @Test
  void aDoubtfulVouchedOneTakesNoPlace() {
    EstimateState state =
        run(and(at(61, claimed(low("a", 60.5))), at(100, Tanks.result("c", 99.5, 9, 0.1))), false);
    assertEquals(1, state.waiting().size());
    assertTrue(estimate(state).flags().contains(Flag.TITRATION_DOUBTFUL));
  }

  @Test
  void aFreshBathEndsTheWaiting() {
    Entry charge = new Entry.Charge(Tanks.stamp("charge", 100, 99.5), 5, 0.2);
    EstimateState state = run(and(at(61, claimed(low("a", 60.5))), at(100, charge)), false);
    assertEquals(List.of(), state.waiting());
  }

  @Test
  void aClaimNeitherConfirmsNorClearsADoubtfulVouchedOne() {
    Map<Integer, List<Entry>> doubtful = at(61, Tanks.result("c", 60.5, 9, 0.1));
    EstimateState alike =
        run(and(doubtful, at(90, claimed(Tanks.result("a", 89.5, 9, 0.1)))), false);
    EstimateState against =
        run(and(doubtful, at(90, claimed(Tanks.result("a", 89.5, 5, 0.1)))), false);
    for (EstimateState state : List.of(alike, against)) {
      assertEquals(Verdict.DOUBTFUL_HIGH, verdict(state, "c"));
      assertTrue(estimate(state).flags().contains(Flag.TITRATION_DOUBTFUL));
      assertEquals(estimate(run(doubtful, false)), vouched(state));
      assertTrue(estimate(state).lastAcceptedTitration().isEmpty());
    }
  }

  private static Verdict verdict(EstimateState state, String id) {
    return state.verdicts().stream()
        .filter(v -> v.entryId().equals(id))
        .findFirst()
        .orElseThrow()
        .verdict();
  }

  @Test
  void aClaimLeavesWithTheHistory() {
    EstimateState state = run(at(61, claimed(low("a", 60.5))), false);
    for (int minute = LAST; minute < 52 * 60; minute += 1) {
      state = Estimator.run(SHEET, state, Tanks.quiet(minute), List.of());
    }
    assertEquals(List.of(), state.waiting());
    assertEquals(vouched(state), estimate(state));
  }

  private static Entry poured(
      String id, double minute, Product product, double litres, Stamp.Channel channel) {
    Stamp s = Tanks.stamp(id, minute, minute);
    Stamp stamp = new Stamp(id, s.tank(), s.author(), channel, s.enteredAt(), s.happenedAt());
    return new Entry.Addition(stamp, product, litres, false, Optional.empty());
  }

  @Test
  void aPourThatNobodyVouchesForIsWeighedBesideTheRest() {
    for (Product product : Product.values()) {
      EstimateState never = run(Map.of(), false);
      Entry claim = poured("p", 60.5, product, 30, Stamp.Channel.MQTT);
      EstimateState claimed = run(at(61, claim), true);
      EstimateState console =
          run(at(61, poured("p", 60.5, product, 30, Stamp.Channel.FILE)), false);
      assertEquals(estimate(never), vouched(claimed));
      assertEquals(
          estimate(console).concentrationPct(), estimate(claimed).concentrationPct(), 1e-9);
      assertNotEquals(
          estimate(never).concentrationPct(), estimate(claimed).concentrationPct(), 0.05);
      EstimateState confirmed = run(and(at(61, claim), at(130, confirmed("p", 130))), false);
      assertEquals(estimate(console), vouched(confirmed));
      assertEquals(List.of(), confirmed.waiting());
    }
  }

  @Test
  void whatATotalizerSawWaitsForNobody() {
    Stamp s = Tanks.stamp("p", 60.5, 60.5);
    Stamp mqtt =
        new Stamp("p", s.tank(), "R. Vale", Stamp.Channel.MQTT, s.enteredAt(), s.happenedAt());
    Entry metered = new Entry.Addition(mqtt, Product.WATER, 30, true, Optional.empty());
    assertEquals(List.of(), run(at(61, metered), false).waiting());
  }

  @Test
  void aSampleDrawnWhileAClaimedPourMixesInIsNotRepresentativeAndLeavesTheClaim() {
    // 1000 L and 200 L/min: three turnovers take a quarter of an hour.
    Map<Integer, List<Entry>> claim =
        at(61, poured("p", 60.5, Product.CONCENTRATE, 10, Stamp.Channel.MQTT));
    EstimateState early = run(and(claim, at(66, Tanks.result("c", 65.5, 5, 0.1))), false);
    assertEquals(Verdict.NOT_REPRESENTATIVE, verdict(early, "c"));
    assertEquals(1, early.waiting().size());
    EstimateState late = run(and(claim, at(90, Tanks.result("c", 89.5, 5, 0.1))), false);
    assertEquals(Verdict.ACCEPTED, verdict(late, "c"));
    assertEquals(List.of(), late.waiting());
  }

  @Test
  void aCorrectedEntryIsAsIfItHadNeverBeenMade() {
    Entry wrong = new Entry.Correction(Tanks.stamp("fix", 150, 150), "x", "wrong tank");
    List<Entry> mistakes =
        List.of(
            poured("x", 60.5, Product.CONCENTRATE, 30, Stamp.Channel.FILE),
            poured("x", 60.5, Product.WATER, 30, Stamp.Channel.MQTT),
            new Entry.Removal(Tanks.stamp("x", 60.5, 60.5), 50, "drained"),
            Tanks.result("x", 60.5, 8, 0.1),
            claimed(low("x", 60.5)));
    EstimateState never = run(Map.of(), false);
    for (Entry mistake : mistakes) {
      assertNotEquals(estimate(never), estimate(run(at(61, mistake), false)));
      EstimateState corrected = run(and(at(61, mistake), at(150, wrong)), false);
      assertEquals(estimate(never), estimate(corrected), mistake.toString());
      assertEquals(List.of(), corrected.verdicts());
      assertEquals(Optional.empty(), corrected.entered("x"));
    }
  }

  @Test
  void theLowestLevelOfATimeIsRemembered() {
    EstimateState state = Estimator.start(SHEET, Tanks.START);
    assertTrue(Double.isNaN(state.lowestLevelL(Tanks.START, Tanks.minute(9))));
    for (int minute = 0; minute <= 30; minute++) {
      Sample q = Tanks.quiet(minute);
      double level = minute >= 10 && minute < 13 ? 700 : 900;
      state =
          Estimator.run(
              SHEET, state, new Sample(q.at(), level, 60, 51, 12, 0, 0, 0, true, true), List.of());
    }
    assertEquals(700, state.lowestLevelL(Tanks.minute(5), Tanks.minute(15)), 1e-9);
    assertEquals(900, state.lowestLevelL(Tanks.minute(20), Tanks.minute(30)), 1e-9);
    assertEquals(Tanks.START, state.since());
  }
}
