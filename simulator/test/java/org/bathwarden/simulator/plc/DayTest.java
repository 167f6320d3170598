package org.bathwarden.simulator.plc;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.function.LongUnaryOperator;
import org.bathwarden.simulator.st.Machine;
import org.bathwarden.simulator.st.Program;
import org.junit.jupiter.api.Test;

/**
 * The volume within 24 h, of the simulated PLC in minutes and of the text in quarter hours, against
 * sums over all scans. Line contract version 2, rule 9: all flow counted in a sliding window.
 */
class DayTest {

  private static final int SCANS_A_DAY = 864_000;
  private static final int DAYS = 2;

  @Test
  void theSimulatedPlcForgetsWithinAMinuteAfterADay() {
    DailyVolume day = new DailyVolume();
    long[] nowMs = new long[1];
    check(
        600,
        flowMl -> {
          nowMs[0] += 100;
          day.add(nowMs[0], flowMl);
          return day.sumMl();
        });
  }

  @Test
  void theTextForgetsWithinAQuarterOfAnHourAfterADay() {
    Map<String, String> texts = TextPlc.texts();
    texts.keySet().retainAll(Set.of("types.st", "functions.st", "watches.st"));
    texts.put(
        "day.st",
        """
        PROGRAM ONE_DAY
        VAR flow : UDINT; sum : BW_DAY_SUM; day : BW_DAY; END_VAR
        sum(scan_ms := 100, flow_ml := flow, day := day);
        END_PROGRAM
        """);
    Machine machine = new Machine(new Program(texts, "ONE_DAY"));
    int flow = machine.cell("flow");
    int sum = machine.cell("day.sum_ml");
    check(
        9_000,
        flowMl -> {
          machine.set(flow, flowMl);
          machine.scan(100);
          return machine.get(sum);
        });
  }

  /** Never less than what flowed in the last 24 h, never more than in those and {@code late}. */
  private static void check(int late, LongUnaryOperator sumAfter) {
    Random random = new Random(24);
    int[] flowMl = new int[DAYS * SCANS_A_DAY];
    long day = 0;
    long dayAndLate = 0;
    for (int scan = 0; scan < flowMl.length; scan++) {
      flowMl[scan] = random.nextInt(2_000) == 0 ? random.nextInt(300) : 0;
      day += flowMl[scan] - (scan < SCANS_A_DAY ? 0 : flowMl[scan - SCANS_A_DAY]);
      int gone = scan - SCANS_A_DAY - late;
      dayAndLate += flowMl[scan] - (gone < 0 ? 0 : flowMl[gone]);
      long sum = sumAfter.applyAsLong(flowMl[scan]);
      if (sum < day || sum > dayAndLate) {
        fail("scan " + scan + ": " + day + " <= " + sum + " <= " + dayAndLate);
      }
    }
    assertTrue(day > 0);
  }
}
