package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
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

/** Expected litres are worked out by hand beside each check; the shares are practice, no source. */
class NeedsTest {

  private static final Product C = Product.CONCENTRATE;
  private static final Product W = Product.WATER;

  private static Decision.Dose dose(NeedInput in) {
    return assertInstanceOf(Decision.Dose.class, Needs.assess(in));
  }

  private static NeedInput with(NeedInput in, Ledger ledger) {
    return change(in, in.belief(), in.titration(), false, ledger, in.verdict(), 20);
  }

  private static NeedInput with(NeedInput in, Verdict verdict) {
    return change(in, in.belief(), in.titration(), false, in.ledger(), verdict, 20);
  }

  private static NeedInput with(NeedInput in, TitrationFacts facts) {
    return change(in, in.belief(), facts, false, in.ledger(), in.verdict(), 20);
  }

  private static NeedInput change(
      NeedInput in,
      Belief belief,
      TitrationFacts titration,
      boolean newLot,
      Ledger ledger,
      Verdict verdict,
      double temperatureC) {
    return new NeedInput(
        in.sheet(),
        in.limits(),
        belief,
        in.unsettled(),
        in.levelL(),
        temperatureC,
        in.evaporatedL(),
        titration,
        newLot,
        ledger,
        verdict,
        in.now());
  }

  private static Ledger flowed(Product product, double litres, Duration ago) {
    return Ledger.EMPTY.book(new Flow(product, litres, Plant.T0.minus(ago), Flow.Origin.ORDER));
  }

  private static Belief wide(double pct) {
    return Plant.belief(pct, 0.85, 1000);
  }

  @Test
  void aSmallNeedIsMetInOnePortion() {
    // 1000·(10 − 9.7)/90 = 3.333 L, below a quarter of H (5.68 L).
    Decision.Dose dose = dose(Plant.need(Plant.belief(9.7, 0.2, 1000), 1000));
    assertEquals(C, dose.product());
    assertEquals(3333, dose.volumeMl());
    assertEquals(10, dose.expectedPct(), 1e-3);
  }

  @Test
  void aLargeOneInPortions() {
    // A quarter of H = 5.6818 L; 8 % and 568 L·% in 1005.68 L: (8000 + 568.1)/1005.68 = 8.5197 %.
    Decision.Dose dose = dose(Plant.need(Plant.belief(8, 0.2, 1000), 1000));
    assertEquals(5681, dose.volumeMl());
    assertEquals(8.5197, dose.expectedPct(), 5e-5);
    NeedInput lot =
        change(
            Plant.need(Plant.belief(8, 0.2, 1000), 1000),
            Plant.belief(8, 0.2, 1000),
            Plant.titrated(1000),
            true,
            Ledger.EMPTY,
            Plant.free(),
            20);
    assertEquals(2840, dose(lot).volumeMl(), "the first one of a new lot is half");
  }

  @Test
  void whatComesInsteadOfThePlansFirstSaysWhy() {
    // Weak with 40 L missing: the plan wants concentrate first; its cap is used up, so water.
    NeedInput in = Plant.need(Plant.belief(9.2, 0.2, 960), 960);
    assertEquals(C, dose(in).product());
    assertFalse(dose(in).reason().contains("now"), dose(in).reason());
    Map<Product, Permission> permissions =
        Map.of(
            C, new Permission(new TreeSet<>(Set.of(Cause.CONCENTRATE_CAP_HOUR)), Set.of()),
            W, new Permission(new TreeSet<>(), Set.of()));
    Verdict held = new Verdict(permissions, false, Set.of(Cause.CONCENTRATE_CAP_HOUR), Set.of());
    Decision.Dose instead = dose(with(in, held));
    assertEquals(W, instead.product());
    assertTrue(
        instead.reason().endsWith("; water now, for concentrate: held by concentrate cap hour"),
        instead.reason());
  }

  @Test
  void onTargetNothingIsWanted() {
    assertInstanceOf(
        Decision.Nothing.class, Needs.assess(Plant.need(Plant.belief(9.95, 0.2, 1000), 1000)));
    assertInstanceOf(
        Decision.Nothing.class, Needs.assess(Plant.need(Plant.belief(11.5, 0.2, 1000), 1000)));
  }

  @Test
  void aStrongBathIsDilutedWithinItsRoom() {
    // Above 12 %: 1000·(12.5 − 10)/10 = 250 L wanted, room to 1100 L, a portion is 20 L.
    Decision.Dose dose = dose(Plant.need(Plant.belief(12.5, 0.2, 1000), 1000));
    assertEquals(W, dose.product());
    assertEquals(20_000, dose.volumeMl());
    Decision full = Needs.assess(Plant.need(Plant.belief(12.5, 0.2, 1099), 1099));
    assertTrue(full instanceof Decision.Nothing, full::toString);
  }

  @Test
  void aLowBathOfRightStrengthGetsWaterThenConcentrate() {
    Decision.Dose water = dose(Plant.need(Plant.belief(10, 0.2, 950), 950));
    assertEquals(W, water.product());
    assertEquals(20_000, water.volumeMl());
    // After it: 9.794 % in 970 L, 970·0.206/90 = 2.22 L of concentrate at this level.
    NeedInput after =
        with(
            Plant.need(Plant.belief(9500.0 / 970, 0.2, 970), 970),
            flowed(W, 20, Duration.ofMinutes(11)));
    Decision.Dose concentrate = dose(after);
    assertEquals(C, concentrate.product());
    assertEquals(2222, concentrate.volumeMl(), 1);
  }

  @Test
  void coldWaterMayCoolByTwoKelvin() {
    // At 95 °C with water of 15 °C: w = 2·V/(80 − 2), V = 940 L·ρ(95)/ρ(20) by the density table
    // 965.319 and 958.354 at 90 and 100 °C, 998.206 at 20 °C: about 906 L, 23.2 L: the portion of
    // 20
    // L is smaller; at a limit of 1 K 906/79 = 11.5 L.
    NeedInput in =
        change(
            Plant.need(Plant.belief(10, 0.2, 880), 940),
            Plant.belief(10, 0.2, 880),
            Plant.titrated(0),
            false,
            Ledger.EMPTY,
            Plant.free(),
            95);
    assertEquals(20_000, dose(in).volumeMl());
    DosingLimits l = Plant.LIMITS;
    DosingLimits careful =
        new DosingLimits(
            l.concentrate(),
            l.water(),
            l.concentrateMeter(),
            l.waterMeter(),
            l.headroomL(),
            1,
            l.mixingWait(),
            l.alpha(),
            l.askWidthShare(),
            l.holdWidthShare(),
            l.reducedShare(),
            l.newLotShare(),
            l.titrationInterval(),
            l.beforeFirstLoad());
    NeedInput limited =
        new NeedInput(
            in.sheet(),
            careful,
            in.belief(),
            in.unsettled(),
            in.levelL(),
            95,
            0,
            in.titration(),
            false,
            in.ledger(),
            in.verdict(),
            in.now());
    assertEquals(11_470, dose(limited).volumeMl(), 60);
  }

  @Test
  void aPortionWaitsForTheOneBefore() {
    NeedInput in =
        with(Plant.need(Plant.belief(8, 0.2, 1000), 1000), flowed(C, 5, Duration.ofMinutes(4)));
    Decision.Wait wait = assertInstanceOf(Decision.Wait.class, Needs.assess(in));
    assertEquals(Optional.of(Plant.T0.plus(Duration.ofMinutes(6))), wait.until());
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

  @Test
  void whatIsNoNumberIsNeverDosedOn() {
    double nan = Double.NaN;
    List<Belief> bad =
        List.of(
            Plant.belief(nan, 0.2, 1000),
            Plant.belief(8, nan, 1000),
            Plant.belief(8, 0.2, nan),
            Plant.belief(-8, 0.2, 1000),
            Plant.belief(8, 0.2, 0));
    for (Belief belief : bad) {
      assertInstanceOf(Decision.Nothing.class, Needs.assess(Plant.need(belief, 1000)));
    }
    Decision.Wait wait =
        assertInstanceOf(
            Decision.Wait.class, Needs.assess(Plant.need(Plant.belief(10, 0.2, 950), nan)));
    assertEquals(W, wait.product());
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

  /** Property over 3000 random pairs of beliefs; the seed is fixed. */
  @Test
  void what_is_right_without_a_claim_and_with_it_is_never_more_than_either() {
    Random random = new Random(17);
    int smaller = 0;
    int held = 0;
    for (int i = 0; i < 3000; i++) {
      double levelL = 900 + 130 * random.nextDouble();
      Decision without = Needs.assess(Plant.need(randomBelief(random, levelL), levelL));
      Decision with = Needs.assess(Plant.need(randomBelief(random, levelL), levelL));
      Decision both = Needs.less(without, with);
      for (Product product : Product.values()) {
        double least = Math.min(litres(without, product), litres(with, product));
        assertEquals(least, litres(both, product), without + " and " + with);
      }
      boolean wanted = without instanceof Decision.Dose;
      smaller += wanted && both instanceof Decision.Dose && !both.equals(without) ? 1 : 0;
      held += wanted && !(both instanceof Decision.Dose) ? 1 : 0;
    }
    assertTrue(smaller > 100 && held > 100, smaller + " smaller, " + held + " held");
  }

  private static Belief randomBelief(Random random, double levelL) {
    double pct = 8 + 5 * random.nextDouble();
    return Plant.belief(
        pct, 0.05 + 0.3 * random.nextDouble(), levelL * (0.98 + 0.04 * random.nextDouble()));
  }

  private static double litres(Decision decision, Product product) {
    return decision instanceof Decision.Dose dose && dose.product() == product
        ? dose.volumeMl() / 1000.0
        : 0;
  }
}
