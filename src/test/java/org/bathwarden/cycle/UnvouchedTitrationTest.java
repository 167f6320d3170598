package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Random;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Decision;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.Stamp.Channel;
import org.junit.jupiter.api.Test;

/**
 * A titration that came over MQTT enlarges no dose and releases no hold until someone with access
 * to the controller vouches for it. Each case runs the same inputs twice, with and without it.
 */
class UnvouchedTitrationTest extends UnvouchedCase {

  private static final long CASES = 24;

  /** What became of the doses of many random baths with random titrations. */
  private record Tally(int larger, int smaller, int alike, int concentrate, int water) {}

  private static Tally tally(Channel channel) {
    int larger = 0;
    int smaller = 0;
    int alike = 0;
    int concentrate = 0;
    int water = 0;
    for (long seed = 1; seed <= CASES; seed++) {
      Random random = new Random(seed);
      Twin twin = new Twin(910 + 95 * random.nextDouble(), 8.5 + 4 * random.nextDouble());
      double truePct = twin.without.truePct();
      for (int i = random.nextInt(3); i >= 0; i--) {
        double reach = random.nextBoolean() ? 1 : 0.2;
        double pct = truePct * (1 + reach * (random.nextDouble() - 0.5));
        Duration ago = Duration.ofSeconds(random.nextInt(100));
        twin.titrate(pct, 0.02 + 0.5 * random.nextDouble(), ago, channel);
        for (int s = 0; s < 75; s++) {
          twin.pass();
          larger += twin.larger() ? 1 : 0;
          boolean less =
              twin.withL(Product.CONCENTRATE) < twin.withoutL(Product.CONCENTRATE)
                  || twin.withL(Product.WATER) < twin.withoutL(Product.WATER);
          smaller += less ? 1 : 0;
          alike += less || twin.larger() ? 0 : 1;
          concentrate += twin.withoutL(Product.CONCENTRATE) > 0 ? 1 : 0;
          water += twin.withoutL(Product.WATER) > 0 ? 1 : 0;
        }
      }
    }
    return new Tally(larger, smaller, alike, concentrate, water);
  }

  @Test
  void noTitrationOverMqttEnlargesADoseOfEitherKind() {
    Tally mqtt = tally(Channel.MQTT);
    assertEquals(0, mqtt.larger(), mqtt.toString());
    assertTrue(mqtt.smaller() > 100, "it may make doses smaller: " + mqtt);
    assertTrue(mqtt.concentrate() > 100 && mqtt.water() > 100, "both kinds are wanted: " + mqtt);
  }

  @Test
  void theSameTitrationsAtTheConsoleDo() {
    Tally console = tally(Channel.CONSOLE);
    assertTrue(console.larger() > 100, console.toString());
  }

  /** 30 % low, near target: without it nothing is missing. */
  private static Twin low(Channel channel) {
    Twin twin = new Twin(WORKING_L - 20, 9.9);
    twin.titrate(0.7 * 9.9, 0.15, Duration.ZERO, channel);
    twin.run(75);
    twin.titrate(0.7 * 9.9, 0.15, Duration.ZERO, channel);
    twin.run(75);
    return twin;
  }

  @Test
  void oneThirtyPercentLowIsSeenAndDosesNothing() {
    Twin mqtt = low(Channel.MQTT);
    assertTrue(mqtt.with.view().estimate().concentrationPct() < 9, "it enters the estimate");
    assertTrue(mqtt.withL(Product.CONCENTRATE) <= mqtt.withoutL(Product.CONCENTRATE));
    assertEquals(2, mqtt.state.estimate().waiting().size());

    Twin console = low(Channel.CONSOLE);
    assertTrue(console.withL(Product.CONCENTRATE) > console.withoutL(Product.CONCENTRATE));
  }

  /** High beyond the limit: by itself it would let in water above the working level. */
  private static Twin high(Channel channel) {
    Twin twin = new Twin(WORKING_L, 10);
    for (int i = 0; i < 2; i++) {
      twin.titrate(13.5, 0.15, Duration.ZERO, channel);
      twin.run(75);
    }
    return twin;
  }

  @Test
  void oneAboveTheHighLimitStopsConcentrateAndDilutesNothing() {
    Twin mqtt = high(Channel.MQTT);
    assertTrue(mqtt.with.view().estimate().concentrationPct() > 12, "it enters the estimate");
    assertEquals(0, mqtt.withL(Product.WATER));
    assertTrue(mqtt.with.view().verdict().active().contains(Cause.TITRATION_DOUBTFUL_HIGH));

    assertTrue(high(Channel.CONSOLE).withL(Product.WATER) > 0);
  }

  @Test
  void confirmedItDosesAsIfItHadBeenEnteredAtTheController() {
    Twin mqtt = new Twin(WORKING_L, 9.9);
    Twin console = new Twin(WORKING_L, 9.9);
    String claim = mqtt.titrate(9.3, 0.15, Duration.ZERO, Channel.MQTT);
    console.titrate(9.3, 0.15, Duration.ZERO, Channel.CONSOLE);
    mqtt.run(75);
    console.run(75);
    assertTrue(mqtt.withL(Product.CONCENTRATE) < console.withL(Product.CONCENTRATE));

    mqtt.confirm(claim);
    mqtt.run(75);
    console.run(75);
    assertEquals(List.of(), mqtt.state.estimate().waiting());
    assertEquals(console.with.view().decision(), mqtt.with.view().decision());
    assertEquals(
        console.with.view().estimate().concentrationPct(),
        mqtt.with.view().estimate().concentrationPct(),
        1e-9);
    assertEquals(
        console.state.dosing().titration().sampledAt(),
        mqtt.state.dosing().titration().sampledAt());
    assertEquals(
        console.state.dosing().titration().deficitL(),
        mqtt.state.dosing().titration().deficitL(),
        0.05);
  }

  @Test
  void itIsConfirmedOnceAndOnlyIfItWaits() {
    Twin twin = new Twin(WORKING_L, 9.9);
    String claim = twin.titrate(9.3, 0.15, Duration.ZERO, Channel.MQTT);
    twin.confirm(claim);
    twin.pass();
    assertEquals(List.of(), refusals(twin.with));
    twin.confirm(claim);
    twin.pass();
    assertEquals(List.of("no entry " + claim + " waits to be confirmed"), refusals(twin.with));
    twin.run(70);
    long judged =
        twin.state.estimate().verdicts().stream().filter(v -> v.entryId().equals(claim)).count();
    assertEquals(1, judged);
    assertTrue(twin.state.estimate().verdicts().stream().allMatch(v -> v.vouched()));
  }

  @Test
  void aTitrationOfALaterSampleAtTheConsoleTakesItsPlace() {
    Twin twin = low(Channel.MQTT);
    twin.titrate(9.9, 0.15, Duration.ZERO, Channel.CONSOLE);
    twin.run(75);
    assertEquals(List.of(), twin.state.estimate().waiting());
    assertEquals(9.9, twin.with.view().estimate().concentrationPct(), 0.2);
  }

  @Test
  void aRestartInBetweenChangesNothing() {
    Twin steady = new Twin(WORKING_L - 30, 9.4);
    Twin restarted = new Twin(WORKING_L - 30, 9.4);
    String claim = "";
    for (Twin twin : List.of(steady, restarted)) {
      claim = twin.titrate(8.9, 0.15, Duration.ZERO, Channel.MQTT);
      twin.run(80);
    }
    for (int i = 0; i < 5; i++) {
      restarted.restart();
      steady.run(40);
      restarted.run(40);
      assertEquals(steady.with.view().decision(), restarted.with.view().decision());
      assertEquals(steady.with.view().estimate(), restarted.with.view().estimate());
      assertEquals(steady.with.facts().size(), restarted.with.facts().size());
    }
    assertEquals(1, restarted.state.estimate().waiting().size());
    restarted.confirm(claim);
    steady.confirm(claim);
    restarted.restart();
    steady.run(70);
    restarted.run(70);
    assertEquals(steady.state.snapshot().dosing(), restarted.state.snapshot().dosing());
  }

  @Test
  void aLateTitrationInBetweenCountsNothingTwice() {
    Twin twin = new Twin(WORKING_L, 9.9);
    twin.titrate(9.3, 0.15, Duration.ZERO, Channel.MQTT);
    twin.run(90);
    // Drawn before the claim, entered after it: it does not take the claim's place.
    twin.titrate(9.95, 0.15, Duration.ofSeconds(140), Channel.CONSOLE);
    twin.run(90);
    assertEquals(1, twin.state.estimate().waiting().size());

    Twin inTime = new Twin(WORKING_L, 9.9);
    Stamp late =
        twin.state.estimate().snapshot().entries().stream()
            .filter(e -> e instanceof Entry.Titration t && t.value() == 9.95)
            .findFirst()
            .orElseThrow()
            .stamp();
    assertTrue(late.vouched());
    inTime.more.add(
        new Entry.Titration(late, 9.95, Entry.Titration.Unit.PCT, EndPoint.FREE, 0.15, ""));
    inTime.titrate(9.3, 0.15, Duration.ZERO, Channel.MQTT);
    inTime.run(180);
    assertEquals(
        inTime.with.view().estimate().concentrationPct(),
        twin.with.view().estimate().concentrationPct(),
        1e-9);
    assertFalse(twin.larger());
  }

  @Test
  void aSmallerDoseSaysWhy() {
    Twin twin = new Twin(WORKING_L - 30, 9.6);
    twin.run(75);
    assertInstanceOf(Decision.Dose.class, twin.with.view().decision());
    twin.titrate(9.9, 0.1, Duration.ZERO, Channel.MQTT);
    twin.run(75);
    assertTrue(twin.withL(Product.CONCENTRATE) < twin.withoutL(Product.CONCENTRATE));
    assertTrue(
        twin.with.view().decision().reason().contains("waits to be confirmed"),
        twin.with.view().decision().toString());
  }

  /** How far what is vouched for moves by a pour that never was, %. */
  private static double movedPct(Product product, double litres, Channel channel) {
    Twin twin = new Twin(WORKING_L - 60, 9.4);
    twin.pour(product, litres, channel);
    twin.run(60);
    double without = twin.without.estimate().concentrationPct();
    double with = twin.with.view().estimate().concentrationPct();
    assertEquals(product == Product.CONCENTRATE, with > without, "it enters the estimate");
    Instant now = twin.without.lastInput.now().steady();
    assertEquals(litres, twin.state.dosing().ledger().withinL(product, Duration.ofHours(1), now));
    assertFalse(twin.larger());
    Estimate vouched = Estimator.vouched(twin.without.sheet.estimator(), twin.state.estimate());
    return Math.abs(vouched.concentrationPct() - without);
  }

  @Test
  void aPourToldOverMqttMovesNothingThatIsVouchedForButCountsAgainstTheCaps() {
    assertEquals(0, movedPct(Product.WATER, 60, Channel.MQTT));
    assertEquals(0, movedPct(Product.CONCENTRATE, 10, Channel.MQTT));
    assertTrue(movedPct(Product.WATER, 60, Channel.CONSOLE) > 0.05);
  }

  @Test
  void aHighTitrationHoldsConcentrateInThePassThatTakesIt() {
    Twin twin = new Twin(WORKING_L - 20, 9.9);
    twin.titrate(16, 0.15, Duration.ZERO, Channel.CONSOLE);
    twin.pass();
    assertTrue(
        twin.with.view().verdict().active().contains(Cause.TITRATION_DOUBTFUL_HIGH),
        twin.with.view().verdict().active().toString());
  }
}
