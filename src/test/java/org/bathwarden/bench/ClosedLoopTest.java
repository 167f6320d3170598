package org.bathwarden.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Map;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.simulator.policy.Disturbance;
import org.bathwarden.simulator.policy.Policies;
import org.bathwarden.simulator.policy.PolicyRun;
import org.bathwarden.simulator.policy.Score;
import org.junit.jupiter.api.Test;

/** That the bench works, on a few hours; what it measures stands in DEVELOPERS.md. */
class ClosedLoopTest {

  private static final Disturbance PLAIN = Disturbance.named("plain");

  @Test
  void theControllerTakesTheTitrationAndDosesWithinTheBand() {
    ControllerRun.Outcome outcome = ControllerRun.run(PLAIN, 3, 2, (truth, result) -> {});
    assertEquals(1, outcome.watched().titrations - outcome.watched().repeats);
    assertTrue(outcome.watched().orders > 2, outcome.watched().orders + " orders");
    assertTrue(outcome.score().concentrateL() > 0.5);
    assertEquals(100, outcome.score().inBandPct());
    assertEquals(0, outcome.score().overdoses());
    assertEquals(Map.of(), outcome.watched().trips);
  }

  @Test
  void theSameSeedGivesEveryPolicyTheSameDisturbance() {
    Score once = PolicyRun.run(PLAIN, Policies.LOADS, 4);
    Score again = PolicyRun.run(PLAIN, Policies.LOADS, 4);
    assertEquals(once.meanPct(), again.meanPct());
    assertEquals(once.concentrateL(), again.concentrateL());
  }

  @Test
  void whoSeesTheConcentrationKeepsItOnTargetAndWhoDosesOnceADayDoesNot() {
    assertTrue(PolicyRun.run(PLAIN, Policies.ALL_KNOWING, 8).meanPct() < 0.5);
    assertTrue(PolicyRun.run(PLAIN, Policies.HAND, 8).meanPct() > 1);
  }

  @Test
  void concentrateThatLiftsTheBathAboveTheBandIsAnOverdoseAndEvaporationIsNone() {
    Score score = new Score(8);
    score.second(truth(8.0, 0));
    score.second(truth(8.9, 5000));
    score.second(truth(8.9, 5000));
    assertEquals(1, score.overdoses());
    assertEquals(100.0 / 3, score.inBandPct(), 1e-9);
    for (int second = 0; second < 3600; second++) {
      score.second(truth(8.7, 5000));
    }
    score.second(truth(8.9, 5000));
    assertEquals(1, score.overdoses());
    assertEquals(11.25, score.worstPct(), 1e-9);
  }

  private static Truth truth(double pct, double concentrateMl) {
    return new Truth(pct, pct, pct, 800, 790, 60, 13, 68, 0, 0, 0, 0, concentrateMl, 0, 0, 0, 0, 0);
  }
}
