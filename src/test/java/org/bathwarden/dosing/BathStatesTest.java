package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.junit.jupiter.api.Test;

/** Times are common practice and judgement, no source. */
class BathStatesTest {

  private Bath bath = Plant.inUse();
  private Now now = Plant.NOW;
  private Optional<Instant> sampledAt = Optional.empty();

  private DosingSettings settings = settings(ProcedureSettings.USUAL);
  private BathTransitions.Facts facts = facts(true, false);

  private static DosingSettings settings(ProcedureSettings procedures) {
    return new DosingSettings(
        Pair.alone(3),
        Mode.PROPOSE,
        Plant.LIMITS,
        CauseAndEffect.standard(),
        Set.of(),
        Map.of(),
        ProofPlan.exempt("a test"),
        procedures);
  }

  /** A tank half full with its drain closed. */
  private static BathTransitions.Facts facts(boolean byStep, boolean open) {
    return new BathTransitions.Facts(byStep, open, true, 500, 50, 400, true);
  }

  private BathStates.Step pass(boolean circulating, double temperatureC, Entry... entries) {
    BathStates.Step step =
        BathStates.step(
            bath,
            List.of(entries),
            circulating,
            temperatureC,
            sampledAt,
            facts,
            Plant.SHEET,
            settings,
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
    facts = new BathTransitions.Facts(true, true, true, 20, 50, 10, true);
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

  @Test
  void aSiteMaySwitchThatTitrationOff() {
    ProcedureSettings usual = ProcedureSettings.USUAL;
    settings =
        settings(
            new ProcedureSettings(
                usual.drainRole(),
                usual.drainBelowC(),
                usual.emptyL(),
                usual.firstFillShare(),
                usual.chargePortions(),
                usual.chargePortionL(),
                false));
    pass(false, 20);
    wait(Duration.ofHours(30));
    pass(false, 20);
    assertEquals(Optional.empty(), bath.titrateBeforeDose());
    assertTrue(bath.unmixed(), "mixing is not switched off with it");
  }
}
