package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/** What caps, doubt and interlocks leave of a need. */
class NeedsCapsTest extends NeedsCase {

  private static Belief wide(double pct) {
    return Plant.belief(pct, 0.85, 1000);
  }

  @Test
  void theHourlyCapSaysWhenItHasRoom() {
    // 11.36 L an hour; 11 L 15 min ago leave 0.36 L.
    NeedInput in =
        with(Plant.need(Plant.belief(8, 0.2, 1000), 1000), flowed(C, 11, Duration.ofMinutes(15)));
    Decision.Wait wait = assertInstanceOf(Decision.Wait.class, Needs.assess(in));
    assertEquals(Optional.of(Plant.T0.plus(Duration.ofMinutes(45))), wait.until());
    assertTrue(wait.reason().contains("hourly cap"), wait.reason());
  }

  @Test
  void sinceATitrationOnlyLossAndDeficitAndHalfOfH() {
    // Loss 2 L + deficit 0.5 L + 11.36 L = 13.86 L; 12 L went in 9 h ago: 1.86 L are left.
    TitrationFacts facts =
        new TitrationFacts(
            Optional.of(Plant.T0.minus(Duration.ofHours(10))),
            false,
            0.5,
            9,
            2,
            TitrationCalls.NONE);
    NeedInput in = with(Plant.need(Plant.belief(8, 0.2, 1000), 1000), facts);
    Ledger ledger = flowed(C, 12, Duration.ofHours(9));
    assertEquals(1863, dose(with(in, ledger)).volumeMl(), 1);
    Decision.Wait wait =
        assertInstanceOf(
            Decision.Wait.class, Needs.assess(with(in, flowed(C, 13, Duration.ofHours(9)))));
    assertTrue(wait.titrationWanted());
  }

  @Test
  void onTheProbeAloneOnePortionThenAQuestion() {
    TitrationFacts nothing =
        new TitrationFacts(
            Optional.of(Plant.T0.minusSeconds(7200)), false, 0, 0, 0, TitrationCalls.NONE);
    NeedInput in = with(Plant.need(Plant.belief(9, 0.2, 1000), 1000), nothing);
    assertEquals(5681, dose(in).volumeMl());
    Decision.Wait wait =
        assertInstanceOf(
            Decision.Wait.class, Needs.assess(with(in, flowed(C, 5.6, Duration.ofHours(1)))));
    assertTrue(wait.titrationWanted());
  }

  @Test
  void doubtReducesThenHolds() {
    // Width 3.33 % of a band of 4 %: half a portion, 2.84 L.
    NeedInput in = Plant.need(wide(8), 1000);
    Decision.Dose reduced = dose(in);
    assertEquals(2840, reduced.volumeMl());
    assertTrue(reduced.reason().contains("titration is wanted"), reduced.reason());
    Decision.Wait held =
        assertInstanceOf(
            Decision.Wait.class, Needs.assess(Plant.need(Plant.belief(8, 1.1, 1000), 1000)));
    assertTrue(held.titrationWanted());
  }

  @Test
  void interlocksForbidByName() {
    Map<Product, Permission> permissions =
        Map.of(
            C, new Permission(new TreeSet<>(Set.of(Cause.DRAIN_OPEN)), Set.of()),
            W, new Permission(new TreeSet<>(), Set.of()));
    Verdict verdict = new Verdict(permissions, false, Set.of(Cause.DRAIN_OPEN), Set.of());
    NeedInput in = with(Plant.need(Plant.belief(8, 0.2, 1000), 1000), verdict);
    Decision.Blocked blocked = assertInstanceOf(Decision.Blocked.class, Needs.assess(in));
    assertEquals(Set.of(Cause.DRAIN_OPEN), blocked.by());
    NeedInput low = with(Plant.need(Plant.belief(9, 0.2, 950), 950), verdict);
    assertEquals(W, dose(low).product(), "the other product is still served");
  }

  @Test
  void waterNeverTakesTheMedianBelowTheLowLimitUnlessTheLevelAsksForIt() {
    Map<Product, Permission> permissions =
        Map.of(
            C, new Permission(new TreeSet<>(Set.of(Cause.MIXING_WAIT)), Set.of()),
            W, new Permission(new TreeSet<>(), Set.of()));
    Verdict mixing = new Verdict(permissions, false, Set.of(Cause.MIXING_WAIT), Set.of());
    // 8.1 % in 950 L: 950 L x 0.1 / 8 = 11.9 L bring it down to the low limit of 8 %.
    NeedInput weak = with(Plant.need(Plant.belief(8.1, 0.2, 950), 950), mixing);
    assertEquals(11_875, dose(weak).volumeMl(), 1);
    NeedInput atTheLimit = with(Plant.need(Plant.belief(8, 0.2, 950), 950), mixing);
    assertInstanceOf(Decision.Blocked.class, Needs.assess(atTheLimit));
    // Low-level point 900 L: 880 L wants 20 L whatever the strength.
    NeedInput low = with(Plant.need(Plant.belief(8, 0.2, 880), 880), mixing);
    assertEquals(20_000, dose(low).volumeMl());
  }

  @Test
  void restrictedWaterStaysWithinItsShare() {
    NeedInput low = Plant.need(Plant.belief(10, 0.2, 880), 880);
    Verdict toLow = Plant.restricted(W, Set.of(Restriction.TO_LOW_LEVEL));
    // Low-level point 900 L: 20 L; from 890 L on 10 L.
    assertEquals(20_000, dose(with(low, toLow)).volumeMl());
    NeedInput lower = Plant.need(Plant.belief(10, 0.2, 890), 890);
    assertEquals(10_000, dose(with(lower, toLow)).volumeMl());
    NeedInput above = Plant.need(Plant.belief(10, 0.2, 950), 950);
    assertInstanceOf(Decision.Wait.class, Needs.assess(with(above, toLow)));

    Verdict evaporation = Plant.restricted(W, Set.of(Restriction.EVAPORATION_SHARE));
    assertInstanceOf(Decision.Wait.class, Needs.assess(with(above, evaporation)));
    NeedInput evaporated =
        new NeedInput(
            above.sheet(),
            above.limits(),
            above.belief(),
            above.unsettled(),
            950,
            20,
            7.5,
            above.titration(),
            false,
            above.ledger(),
            evaporation,
            above.now());
    assertEquals(7500, dose(evaporated).volumeMl());
  }

  /**
   * Random baths, interlocks free, for 60 simulated hours each: whatever is believed, no window
   * ever holds more than its cap, no dose more than a portion, none of concentrate leads above
   * target.
   */
  @Test
  void dosesNeverPassTheirCaps() {
    Random random = new Random(7);
    int doses = 0;
    for (int run = 0; run < 20; run++) {
      Ledger ledger = Ledger.EMPTY.titrationAccepted(Plant.T0);
      Now now = Plant.NOW;
      List<Flow> all = new ArrayList<>();
      for (int i = 0; i < 360; i++) {
        now = now.plus(Duration.ofMinutes(10));
        Belief belief =
            Plant.belief(
                5 + 8 * random.nextDouble(),
                1.1 * random.nextDouble(),
                850 + 250 * random.nextDouble());
        NeedInput in =
            new NeedInput(
                Plant.SHEET,
                Plant.LIMITS,
                belief,
                Unsettled.NONE,
                850 + 250 * random.nextDouble(),
                20,
                0,
                new TitrationFacts(
                    Optional.of(Plant.T0), false, 5, i, 0.05 * i, TitrationCalls.NONE),
                random.nextInt(10) == 0,
                ledger,
                Plant.free(),
                now);
        if (Needs.assess(in) instanceof Decision.Dose dose) {
          doses++;
          double litres = dose.volumeMl() / 1000.0;
          ProductLimits limits = Plant.LIMITS.of(dose.product());
          assertTrue(litres <= limits.portionL() && dose.volumeMl() > 0, dose::toString);
          if (dose.product() == C) {
            assertTrue(dose.expectedPct() <= 10 + 1e-6, dose::toString);
            assertTrue(
                DoubtLimit.probabilityAbove(belief, Unsettled.NONE, 12, 100, litres) <= 0.01 + 1e-6,
                dose::toString);
          }
          Flow flow = new Flow(dose.product(), litres, now.steady(), Flow.Origin.ORDER);
          all.add(flow);
          ledger = ledger.book(flow).prune(now.steady());
        }
        for (Product product : Product.values()) {
          ProductLimits limits = Plant.LIMITS.of(product);
          assertTrue(sum(all, product, now.steady(), 1) <= limits.perHourL() + 1e-9);
          assertTrue(sum(all, product, now.steady(), 8) <= limits.per8hL() + 1e-9);
          assertTrue(sum(all, product, now.steady(), 1000) <= limits.sinceTitrationL() + 1e-9);
        }
      }
    }
    assertTrue(doses > 500, "doses " + doses);
  }

  private static double sum(List<Flow> all, Product product, Instant now, int hours) {
    return all.stream()
        .filter(f -> f.product() == product && f.at().isAfter(now.minus(Duration.ofHours(hours))))
        .mapToDouble(Flow::litres)
        .sum();
  }
}
