package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/** Expected litres are worked out by hand beside each check; the shares are practice, no source. */
class NeedsTest extends NeedsCase {

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
}
