package org.bathwarden.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The doubt foreseen, against the doubt that comes when the tank is used as it was foreseen. */
class ForecastTest {

  private static final Duration DAY = Duration.ofHours(24);
  private static final int LIVED_MIN = 300;

  private final EstimatorSheet sheet = Tanks.sheet();

  /** A tank washing six loads an hour with doses that make up for it; readings as expected. */
  private EstimateState lived(EstimateState state, int from, int to, boolean probe) {
    Filter filter = new Filter(sheet);
    Probes probes = new Probes(sheet);
    EstimateState now = state;
    for (int i = from; i <= to; i++) {
      Belief belief = now.now();
      double level = probes.levelOf(belief);
      double kappa = probe ? Math.exp(probes.lnConductivityOf(belief)) : Double.NaN;
      // The last digit moves, or the probe would count as stuck.
      Sample sample =
          new Sample(
              Tanks.minute(i),
              level + 0.01 * (i % 3 - 1),
              60 + 0.01 * (i % 2),
              kappa * (1 + 1e-4 * (i % 3 - 1)),
              12,
              i % 60 == 0 ? 0.2 : 0,
              i % 60 == 0 ? 3.5 : 0,
              i % 10 == 0 ? 1 : 0,
              true,
              true);
      now = Estimator.run(sheet, now, sample, List.of());
    }
    assertEquals(10, filter.mixingWait().toMinutes(), 5);
    return now;
  }

  private EstimateState titrated() {
    EstimateState state = lived(Estimator.start(sheet, Tanks.START), 1, 120, true);
    return Estimator.run(sheet, state, Tanks.quiet(121), List.of(Tanks.drops("t", 121, 20)));
  }

  private static double uAt(List<Forecast.Doubt> doubts, int minute) {
    Instant at = Tanks.minute(minute);
    double u = Double.NaN;
    for (Forecast.Doubt doubt : doubts) {
      u = doubt.at().isAfter(at) ? u : doubt.concentrationUPct();
    }
    return u;
  }

  @Test
  void foreseesTheDoubtThatComes() {
    for (boolean probe : new boolean[] {true, false}) {
      EstimateState state = lived(titrated(), 122, 122 + LIVED_MIN, probe);
      Forecast forecast = new Forecast(sheet, state, DAY);
      EstimateState later = lived(state, 123 + LIVED_MIN, 122 + 3 * LIVED_MIN, probe);
      double came = Math.sqrt(later.now().concentrationVariance());
      double foreseen = uAt(forecast.untitrated(), 122 + 3 * LIVED_MIN);
      assertEquals(1, foreseen / came, 0.1, "probe " + probe + ": " + foreseen + ", came " + came);
      assertEquals(6, forecast.loadsPerH(), 0.5);
      // 6 loads of 0.5 L at 5 %, a quarter more eaten: 0.19 L/h of neat concentrate, and carbonate.
      assertEquals(0.19, forecast.concentrateLPerH(), 0.08);
    }
  }

  @Test
  void withoutAProbeDoubtGrowsFaster() {
    EstimateState state = lived(titrated(), 122, 122 + LIVED_MIN, true);
    EstimateState blind = lived(state, 123 + LIVED_MIN, 150 + LIVED_MIN, false);
    List<Forecast.Doubt> seen = new Forecast(sheet, state, DAY).untitrated();
    List<Forecast.Doubt> unseen = new Forecast(sheet, blind, DAY).untitrated();
    int last = seen.size() - 1;
    assertTrue(
        unseen.get(last).concentrationUPct() > 1.05 * seen.get(last).concentrationUPct(),
        unseen.get(last) + " against " + seen.get(last));
  }

  @Test
  void aTitrationNarrowsAndItsBestMomentLiesWithinWhatIsAllowed() {
    EstimateState state = lived(titrated(), 122, 122 + LIVED_MIN, true);
    Forecast forecast = new Forecast(sheet, state, DAY);
    List<Forecast.Doubt> without = forecast.untitrated();
    List<Forecast.Doubt> with = forecast.titratedNow();
    for (int i = 0; i < with.size(); i++) {
      assertEquals(without.get(i).at(), with.get(i).at());
      assertTrue(with.get(i).concentrationUPct() < without.get(i).concentrationUPct(), "step " + i);
    }
    Instant now = without.get(0).at();
    Instant due = now.plus(Duration.ofHours(20));
    for (int hours : new int[] {0, 3, 9, 20}) {
      Instant latest = now.plus(Duration.ofHours(hours));
      Forecast.Worth worth = forecast.worth(now, latest, due);
      assertFalse(worth.at().isBefore(now) || worth.at().isAfter(latest), hours + " h: " + worth);
      assertTrue(worth.uAfterPct() < worth.uBeforePct());
    }
    // Summed until the due one, neither end is best: at the end nothing is left to gain.
    Instant best = forecast.worth(now, due, due).at();
    assertTrue(best.isBefore(due.minus(Duration.ofHours(2))), "best at " + best);
  }

  @Test
  void foreseeingChangesNothing() {
    EstimateState state = titrated();
    EstimateSnapshot before = state.snapshot();
    Forecast forecast = new Forecast(sheet, state, DAY);
    forecast.titratedNow();
    forecast.worth(Tanks.minute(130), Tanks.minute(900), Tanks.minute(1200));
    assertEquals(before, state.snapshot());
  }
}
