package org.bathwarden.simulator.plc;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** Runs the table of steps of the line contract, version 2, against the simulated PLC. */
class PlcStepsTest {

  private static final Map<String, List<StepTable.Step>> TABLE = StepTable.read();

  @TestFactory
  Stream<DynamicTest> everySequenceOfTheTableHoldsForTheSimulatedPlc() {
    return eachWith(PlcSide.Simulated::new);
  }

  @TestFactory
  Stream<DynamicTest> everySequenceOfTheTableHoldsForTheStructuredText() {
    return eachWith(TextPlc::new);
  }

  @Test
  void everyReasonCodeIsReachedAsARefusalOrAStopOrBoth() {
    Set<String> seen = new HashSet<>();
    TABLE.values().stream()
        .flatMap(List::stream)
        .flatMap(step -> step.expected().stream())
        .forEach(pair -> seen.add(pair.key() + "=" + pair.value()));
    for (int code : new int[] {1, 2, 4, 5, 6, 8, 10, 11, 12, 13, 14}) {
      assertTrue(seen.contains("refused_reason=" + code), "refusal " + code);
    }
    for (int code : new int[] {1, 2, 3, 4, 7, 8, 9, 13, 14}) {
      assertTrue(seen.contains("order_reason=" + code), "stop " + code);
    }
  }

  @Test
  void aWrongExpectationFails() {
    StepTable.Step wrong =
        new StepTable.Step(0, 1, List.of(), List.of(new StepTable.Pair("order_state", "1")), "");
    StepTank tank = new StepTank(new PlcSide.Simulated(List.of(config(1, List.of()))), 0);
    assertThrows(AssertionError.class, () -> expect(wrong, tank, tank));
    assertFalse(TABLE.isEmpty());
  }

  private static Stream<DynamicTest> eachWith(Function<List<PlcConfig>, PlcSide> maker) {
    return TABLE.keySet().stream().map(name -> dynamicTest(name, () -> run(name, maker)));
  }

  private static void run(String name, Function<List<PlcConfig>, PlcSide> maker) {
    List<StepTable.Step> steps = TABLE.getOrDefault(name, List.of());
    List<StepTable.Pair> settings = steps.stream().flatMap(step -> step.inputs().stream()).toList();
    PlcSide plc = maker.apply(List.of(config(1, settings), config(2, settings)));
    play(name, plc, new StepTank(plc, 0), new StepTank(plc, 1));
  }

  private static void play(String name, PlcSide plc, StepTank first, StepTank second) {
    for (StepTable.Step step : TABLE.getOrDefault(name, List.of())) {
      step.inputs().stream()
          .filter(pair -> pair.key().equals("from"))
          .forEach(pair -> play(pair.value(), plc, first, second));
      first.apply(step);
      second.apply(step);
      for (int scan = 0; scan < step.scans(); scan++) {
        plc.scan(List.of(first.nextScan(), second.nextScan()));
      }
      expect(step, first, second);
    }
  }

  private static void expect(StepTable.Step step, StepTank first, StepTank second) {
    for (StepTable.Pair pair : step.expected()) {
      boolean other = pair.key().startsWith("t2.");
      String key = other ? pair.key().substring(3) : pair.key();
      String shown = (other ? second : first).shown(key);
      String where = "line " + step.line() + ": " + pair.key() + " " + step.why();
      if (shown.contains(".") || shown.equals("NaN")) {
        assertEquals(Float.parseFloat(pair.value()), Float.parseFloat(shown), where);
      } else {
        assertEquals(pair.value(), shown, where);
      }
    }
  }

  private static PlcConfig config(int tank, List<StepTable.Pair> settings) {
    String pump = value(settings, "config.shared", "0").equals("1") ? "P" : "P" + tank;
    return new PlcConfig(
        tank,
        new PlcConfig.Supply(
            pump,
            20,
            Integer.parseInt(value(settings, "config.c_ml_per_pulse", "1")),
            2000,
            Long.parseLong(value(settings, "config.c_daily_ml", "10000"))),
        new PlcConfig.Supply("W" + tank, 200, 10, 20000, 100000),
        600,
        400,
        value(settings, "config.metered", "1").equals("1"));
  }

  private static String value(List<StepTable.Pair> settings, String key, String otherwise) {
    return settings.stream()
        .filter(pair -> pair.key().equals(key))
        .map(StepTable.Pair::value)
        .findFirst()
        .orElse(otherwise);
  }
}
