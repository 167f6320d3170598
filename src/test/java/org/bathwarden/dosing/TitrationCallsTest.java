package org.bathwarden.dosing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.junit.jupiter.api.Test;

/** What calls for a titration besides time: the rules are common practice, without a source. */
class TitrationCallsTest {

  private static Instant hour(double hours) {
    return Plant.T0.plusMillis(Math.round(hours * 3.6e6));
  }

  private static TitrationLog sampled(double hour) {
    return TitrationLog.NONE.accepted(hour(hour), 0);
  }

  private static TitrationLog load(TitrationLog log, double hour) {
    return log.passed(1, 0, 0, 0, hour(hour), List.of());
  }

  private static TitrationDue due(TitrationLog log) {
    return log.facts().due(Plant.LIMITS).orElseThrow();
  }

  @Test
  void aDayBegunWithoutATitrationOwesOneFromItsFirstLoad() {
    TitrationLog evening = load(sampled(1), 10);
    assertFalse(evening.facts().wantedBeforeNextLoad(Plant.LIMITS, hour(15.9)));
    assertTrue(evening.facts().wantedBeforeNextLoad(Plant.LIMITS, hour(16)));
    assertEquals(hour(25), due(evening).at(), "by the interval");
    TitrationLog morning = load(load(evening, 22), 22.5);
    assertEquals(hour(22), due(morning).at());
    assertEquals("none preceded the first load of the day", due(morning).why());
    TitrationLog titrated = morning.accepted(hour(23), 0);
    assertEquals(hour(47), due(titrated).at());
  }

  @Test
  void oneDrawnInThePauseOrNoPauseOwesNone() {
    TitrationLog night = load(sampled(1), 10).accepted(hour(21), 0);
    assertFalse(night.facts().wantedBeforeNextLoad(Plant.LIMITS, hour(22)));
    assertEquals(hour(45), due(load(night, 22)).at());
    assertEquals(hour(25), due(load(load(load(sampled(1), 2), 7), 12)).at());
  }

  @Test
  void aSiteMaySwitchTheFirstLoadOff() {
    DosingLimits l = Plant.LIMITS;
    DosingLimits relaxed =
        new DosingLimits(
            l.concentrate(),
            l.water(),
            l.concentrateMeter(),
            l.waterMeter(),
            l.headroomL(),
            l.waterCoolingK(),
            l.mixingWait(),
            l.alpha(),
            l.askWidthShare(),
            l.holdWidthShare(),
            l.reducedShare(),
            l.newLotShare(),
            l.titrationInterval(),
            false);
    TitrationLog morning = load(load(sampled(1), 10), 22);
    assertEquals(hour(25), morning.facts().due(relaxed).orElseThrow().at());
    assertFalse(morning.facts().wantedBeforeNextLoad(relaxed, hour(40)));
  }

  @Test
  void aLargePourOwesOneOnceItIsMixedInUntilItIsTakenBack() {
    DosingSettings settings =
        new DosingSettings(
            Pair.alone(3),
            org.bathwarden.tank.Mode.OFF,
            Plant.LIMITS,
            CauseAndEffect.standard(),
            java.util.Set.of(),
            java.util.Map.of(),
            ProofPlan.exempt("a test"));
    DosingState state = titrated(settings);
    // H is 22.73 L; 12 L are more than half of it, 11 L are not. Mixing waits 10 min.
    DosingState small = pour(settings, state, 11);
    assertEquals(hour(23), due(small.titration()).at());
    DosingState large = pour(settings, state, 12);
    assertEquals(hour(0).plus(settings.limits().mixingWait()), due(large.titration()).at());
    assertEquals("a large addition was poured by hand", due(large.titration()).why());
    TitrationLog spoilt = large.titration().accepted(hour(0.1), 0);
    assertEquals("a large addition was poured by hand", due(spoilt).why(), "before it was mixed");
    assertEquals(hour(24.5), due(large.titration().accepted(hour(0.5), 0)).at());
  }

  private static DosingState titrated(DosingSettings settings) {
    DosingState s =
        DosingState.first(settings, Plant.SHEET, org.bathwarden.tank.BathState.IN_USE, Plant.T0);
    return new DosingState(
        s.mode(),
        s.leaving(),
        s.bath(),
        s.chargedAt(),
        s.book(),
        s.proposals(),
        s.ledger(),
        s.interlocks(),
        sampled(-1),
        s.drum(),
        s.shortInARow(),
        s.wantingSince(),
        s.proofs(),
        s.procedures());
  }

  private static DosingState pour(DosingSettings settings, DosingState before, double litres) {
    Stamp stamp = Plant.stamp("pour-" + litres);
    Entry pour = new Entry.Addition(stamp, Product.CONCENTRATE, litres, false, Optional.of("L1"));
    Intake.Admitted admitted =
        Intake.admit(settings, Plant.SHEET, before, new Unremembered(), List.of(pour), Plant.NOW);
    assertEquals(1, admitted.entries().size(), admitted.events().toString());
    return admitted.after();
  }

  /** Nothing is remembered; anything of the last two days may have been. */
  private record Unremembered() implements Past {
    @Override
    public Instant since() {
      return Plant.T0.minus(Duration.ofHours(48));
    }

    @Override
    public Optional<Entry> entered(String id) {
      return Optional.empty();
    }

    @Override
    public double lowestLevelL(Instant from, Instant to) {
      return Double.NaN;
    }
  }
}
