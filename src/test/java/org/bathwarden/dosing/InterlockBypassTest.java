package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.dosing.CauseAndEffect.Row;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;

/** What may be bypassed, by whom and until when. */
class InterlockBypassTest extends InterlockCase {

  @Test
  void onlyTheseMayBeBypassedAndNoPermitOfThePlc() {
    Map<Cause, Role> may = new EnumMap<>(Cause.class);
    for (Row row : TABLE.rows()) {
      row.bypass().ifPresent(role -> may.put(row.cause(), role));
      assertTrue(row.permits().isEmpty() || row.bypass().isEmpty(), row.cause().key());
    }
    // Judgement: what is measured beside the level, and what a person can watch over instead.
    assertEquals(
        Map.ofEntries(
            Map.entry(Cause.BATH_NOT_MIXED, Role.ENGINEER),
            Map.entry(Cause.BATH_NOT_TITRATED, Role.CHEMIST),
            Map.entry(Cause.LEVEL_UNSETTLED, Role.ENGINEER),
            Map.entry(Cause.TEMPERATURE_LOW, Role.ENGINEER),
            Map.entry(Cause.TEMPERATURE_HIGH, Role.ENGINEER),
            Map.entry(Cause.METAL_LIMIT, Role.CHEMIST),
            Map.entry(Cause.PH_BAD, Role.CHEMIST),
            Map.entry(Cause.PH_LOW, Role.CHEMIST),
            Map.entry(Cause.CONDUCTIVITY_BAD, Role.CHEMIST),
            Map.entry(Cause.INTERVAL_WIDE, Role.CHEMIST),
            Map.entry(Cause.TITRATION_LATE, Role.CHEMIST),
            Map.entry(Cause.OVERRUN, Role.ENGINEER),
            Map.entry(Cause.CLOCK_STEP, Role.ENGINEER)),
        may);
  }

  private static Entry bypass(Cause cause, Duration duration) {
    return new Entry.Bypass(Plant.stamp("b"), cause.key(), Role.ENGINEER, "at work", duration);
  }

  @Test
  void aBypassedCauseIsNotLookedAtUntilTheBypassEndsByItself() {
    assertTrue(
        pass(Set.of(Cause.CLOCK_STEP), bypass(Cause.CLOCK_STEP, Duration.ofHours(1)))
            .of(Product.WATER)
            .allowed());
    wait(Duration.ofHours(1).minusMillis(1));
    assertTrue(pass(Set.of(Cause.CLOCK_STEP)).of(Product.WATER).allowed());
    wait(Duration.ofMillis(1));
    assertFalse(pass(Set.of(Cause.CLOCK_STEP)).of(Product.WATER).allowed());
    assertEquals(
        List.of(
            InterlockEvent.Kind.BYPASSED, InterlockEvent.Kind.BYPASS_ENDED, InterlockEvent.Kind.ON),
        events.stream().map(InterlockEvent::kind).toList());
  }

  @Test
  void aBypassEndsWhenSomeoneEndsItAndReachesNoOtherCause() {
    pass(Set.of(Cause.CLOCK_STEP), bypass(Cause.CLOCK_STEP, Duration.ofHours(1)));
    assertFalse(pass(Set.of(Cause.CLOCK_STEP, Cause.OVERRUN)).of(Product.CONCENTRATE).allowed());
    pass(Set.of(Cause.CLOCK_STEP));
    wait(Duration.ofMinutes(11));
    assertTrue(pass(Set.of(Cause.CLOCK_STEP)).of(Product.CONCENTRATE).allowed());
    assertFalse(
        pass(Set.of(Cause.CLOCK_STEP), bypass(Cause.CLOCK_STEP, Duration.ZERO))
            .of(Product.CONCENTRATE)
            .allowed());
  }

  @Test
  void aBypassReleasesNoLatch() {
    pass(Set.of(Cause.PH_LOW));
    wait(Duration.ofMinutes(15));
    assertFalse(pass(Set.of(Cause.PH_LOW)).of(Product.CONCENTRATE).allowed());
    wait(Duration.ofMinutes(1));
    assertFalse(
        pass(Set.of(Cause.PH_LOW), bypass(Cause.PH_LOW, Duration.ofHours(1)))
            .of(Product.CONCENTRATE)
            .allowed());
    wait(Duration.ofMinutes(2));
    assertTrue(
        pass(Set.of(Cause.PH_LOW), reset(Cause.PH_LOW, Role.CHEMIST))
            .of(Product.CONCENTRATE)
            .allowed());
  }
}
