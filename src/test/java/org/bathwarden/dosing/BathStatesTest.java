package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.junit.jupiter.api.Test;

/** Times are common practice and judgement, no source. */
class BathStatesTest {

  private Bath bath = Plant.inUse();
  private Now now = Plant.NOW;
  private Optional<Instant> sampledAt = Optional.empty();

  private BathStates.Step pass(boolean circulating, double temperatureC, Entry... entries) {
    BathStates.Step step =
        BathStates.step(
            bath,
            List.of(entries),
            circulating,
            temperatureC,
            sampledAt,
            Plant.SHEET,
            Plant.LIMITS,
            now);
    bath = step.after();
    return step;
  }

  private void wait(Duration duration) {
    now = now.plus(duration);
  }

  private static Entry to(BathState state) {
    return new Entry.BathChange(Plant.stamp("b"), state);
  }

  @Test
  void aBathIsChargedWarmedUsedAndDrained() {
    bath = Bath.in(BathState.EMPTY, Plant.T0);
    for (BathState next :
        List.of(
            BathState.CHARGING,
            BathState.WARMING,
            BathState.IN_USE,
            BathState.STOOD_DOWN,
            BathState.DRAINING,
            BathState.EMPTY)) {
      wait(Duration.ofMinutes(1));
      assertEquals(List.of(), pass(true, 20, to(next)).refused());
      assertEquals(next, bath.state());
      assertEquals(now.steady(), bath.since());
    }
  }

  @Test
  void anEmptyTankIsNeverSimplyInUse() {
    bath = Bath.in(BathState.EMPTY, Plant.T0);
    BathStates.Step step = pass(true, 20, to(BathState.IN_USE));
    assertEquals(BathState.EMPTY, bath.state());
    assertEquals("a bath does not pass from empty to in use", step.refused().get(0).reason());
    assertFalse(BathStates.allowed(BathState.CHARGING, BathState.IN_USE));
    assertFalse(BathStates.allowed(BathState.OUT_OF_USE, BathState.IN_USE));
    for (BathState from : BathState.values()) {
      assertEquals(
          from != BathState.OUT_OF_USE, BathStates.allowed(from, BathState.OUT_OF_USE), from::name);
    }
  }

  @Test
  void aChargeMustBeMixedAndTitrated() {
    bath = Bath.in(BathState.EMPTY, Plant.T0);
    pass(true, 20, new Entry.Charge(Plant.stamp("c"), 10, 0.3));
    assertEquals(BathState.CHARGING, bath.state());
    assertTrue(bath.unmixed());
    assertEquals(Optional.of(Plant.T0), bath.titrateBeforeDose());
    wait(Duration.ofMinutes(10));
    pass(true, 20);
    assertFalse(bath.unmixed());
    sampledAt = Optional.of(Plant.T0);
    pass(true, 20);
    assertTrue(bath.titrateBeforeDose().isPresent(), "the sample must be of this bath");
    sampledAt = Optional.of(now.steady());
    pass(true, 20);
    assertEquals(Optional.empty(), bath.titrateBeforeDose());
  }

  @Test
  void aNightStillNeedsThreeTurnoversWithinTheWindow() {
    pass(false, 20);
    wait(Duration.ofHours(12));
    pass(false, 20);
    assertFalse(bath.unmixed());
    wait(Duration.ofSeconds(1));
    pass(false, 20);
    assertTrue(bath.unmixed());
    pass(true, 14.5);
    wait(Duration.ofMinutes(30));
    pass(true, 14.5);
    assertTrue(bath.unmixed(), "mixed, but below the window");
    pass(true, 15);
    wait(Duration.ofMinutes(9));
    pass(true, 14.8);
    assertTrue(bath.unmixed());
    wait(Duration.ofMinutes(1));
    pass(true, 15);
    assertFalse(bath.unmixed());
    assertEquals(Optional.empty(), bath.titrateBeforeDose(), "one night wants no titration");
  }

  @Test
  void aColdBathNeedsItToo() {
    pass(true, 13.9);
    assertTrue(bath.unmixed());
    pass(true, 16);
    wait(Duration.ofMinutes(10));
    pass(true, 16);
    assertFalse(bath.unmixed());
    pass(true, Double.NaN);
    assertFalse(bath.unmixed(), "an unknown temperature is the interlock's business");
  }

  @Test
  void aWeekendStillWantsATitrationOfTheMixedBath() {
    pass(false, 20);
    wait(Duration.ofHours(24).plusSeconds(1));
    sampledAt = Optional.of(now.steady());
    pass(false, 20);
    Instant last = now.steady();
    wait(Duration.ofMinutes(1));
    pass(true, 20);
    assertEquals(Optional.of(last), bath.titrateBeforeDose());
    sampledAt = Optional.of(now.steady());
    pass(true, 20);
    assertEquals(Optional.empty(), bath.titrateBeforeDose());
  }
}
