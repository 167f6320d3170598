package org.bathwarden.simulator.plc;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The simulated PLC and the Structured Text on the same random steps. Each is the other's check:
 * the one was written from the contract in Java, the other in the PLC's language.
 */
class PlcDifferenceTest {

  private static final int SEEDS = Integer.getInteger("bathwarden.plc.seeds", 60);

  /**
   * Enough to meet every planted mistake below; most fall to the first few. Rarer edges are the
   * table's.
   */
  private static final int SEEDS_PER_MISTAKE = 150;

  @Test
  void bothDoTheSame() {
    for (int seed = 1; seed <= SEEDS; seed++) {
      TwoSides both =
          new TwoSides(
              PlcSide.Simulated::new, seed % 4 == 0 ? TextPlc::keepingVariables : TextPlc::new);
      List<StepTable.Step> steps = RandomSteps.of(seed);
      if (both.difference(steps).isPresent()) {
        fail("seed " + seed + ": " + both.shortest(steps));
      }
    }
  }

  /** A comparison of two PLCs that refuse everything would compare nothing. */
  @Test
  void theStepsReachEveryReason() {
    Set<String> seen = new HashSet<>();
    for (int seed = 1; seed <= SEEDS; seed++) {
      watch(RandomSteps.of(seed), seen);
    }
    for (int reason : new int[] {1, 2, 4, 5, 6, 8, 10, 11, 12, 13, 14}) {
      assertTrue(seen.contains("refused " + reason), "refused " + reason);
    }
    for (int reason : new int[] {0, 1, 2, 3, 4, 7, 8, 9, 13, 14}) {
      assertTrue(seen.contains("ended " + reason), "ended " + reason);
    }
  }

  private static void watch(List<StepTable.Step> steps, Set<String> seen) {
    PlcSide plc = new PlcSide.Simulated(StepConfig.of(steps));
    List<StepTank> tanks = List.of(new StepTank(plc, 0), new StepTank(plc, 1));
    for (StepTable.Step step : steps) {
      tanks.forEach(tank -> tank.apply(step));
      for (int scan = 0; scan < step.scans(); scan++) {
        plc.scan(tanks.stream().map(StepTank::nextScan).toList());
        PlcImage image = plc.memory(0).image();
        seen.add("refused " + image.get(FromPlc.REFUSED_REASON));
        if (image.get(FromPlc.ORDER_STATE) >= 2) {
          seen.add("ended " + image.get(FromPlc.ORDER_REASON));
        }
      }
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "tank.st | beat_age_ms < 5000 | beat_age_ms <= 5000",
        "tank.st | block.heartbeat_epoch = kept.holder_epoch | block.heartbeat_epoch >= kept.holder_epoch",
        "tank.st | kept.abandoned_to >= kept.order_taken | kept.abandoned_to > kept.order_taken",
        "tank.st | block.order_number <= kept.order_taken | block.order_number < kept.order_taken",
        "tank.st | block.order_basis) > 10 | block.order_basis) > 11",
        "tank.st | run_ms >= limit_ms | run_ms > limit_ms",
        "tank.st | quiet_ms >= 10000 | quiet_ms > 10000",
        "tank.st | panel_quiet_ms >= 2000 | panel_quiet_ms >= 1900",
        "tank.st | kept.order_reason := RESTARTED | kept.order_reason := NOT_HOLDER",
        "tank.st | kept.refused_number := block.order_commit | kept.refused_number := block.order_number",
        "tank.st | AND concentrate_busy | AND water_busy",
        "watches.st | false_scans[i] * scan_ms > 100 | false_scans[i] * scan_ms > 200",
        "watches.st | lost[6] OR NOT good[6] | lost[6]",
        "watches.st | lingering_ms > 1000 | lingering_ms >= 1000",
        "watches.st | stray_ml > 50 AND | stray_ml >= 50 AND",
        "watches.st | 1.2 * supply | 1.3 * supply",
        "functions.st | 16#A001 | 16#8408",
        "functions.st | difference > 2147483647 | difference > 0"
      })
  void aPlantedMistakeIsFound(String file, String right, String wrong) {
    TwoSides both = new TwoSides(PlcSide.Simulated::new, TextPlc.withMistake(file, right, wrong));
    Optional<String> found = Optional.empty();
    for (int seed = 1; seed <= SEEDS_PER_MISTAKE && found.isEmpty(); seed++) {
      found = both.difference(RandomSteps.of(seed));
    }
    assertTrue(found.isPresent(), "not found in " + SEEDS_PER_MISTAKE + " sequences");
  }
}
