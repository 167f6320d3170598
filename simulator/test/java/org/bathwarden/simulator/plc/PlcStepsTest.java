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
import org.bathwarden.simulator.st.StException;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Runs the table of steps of the line contract, version 2, against the simulated PLC. */
class PlcStepsTest {

  private static final Map<String, List<StepTable.Step>> TABLE = StepTable.read();

  /** The text's day is tried in DayTest, without all the rest of a tank in each of its scans. */
  private static final int WHOLE_DAY_SCANS = 24 * 3600 * 10;

  @TestFactory
  Stream<DynamicTest> everySequenceOfTheTableHoldsForTheSimulatedPlc() {
    return eachWith(PlcSide.Simulated::new);
  }

  @TestFactory
  Stream<DynamicTest> everySequenceOfTheTableHoldsForTheStructuredText() {
    return eachWith(TextPlc::new).filter(test -> scans(test.getDisplayName()) < WHOLE_DAY_SCANS);
  }

  @TestFactory
  Stream<DynamicTest> itHoldsOnAPlcThatKeepsItsVariablesInStop() {
    return eachWith(TextPlc::keepingVariables)
        .filter(test -> uses(test.getDisplayName(), "restart"));
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

  /** Edges that random steps seldom meet. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "tank.st | fresh := fresh AND beat_counted | fresh := fresh",
        "tank.st | kept.holder_epoch <= 1000 | kept.holder_epoch < 1000",
        "tank.st | after_end_ml > overrun_ml | after_end_ml >= overrun_ml",
        "tank.st | end_ms >= 30000 | end_ms >= 30100",
        "tank.st | beat_age_ms < 5000 | beat_age_ms >= 5000",
        "functions.st | number - taken > 10000 | number - taken >= 10000",
        "watches.st | rest_ml + supply.rated_ml_s | rest_ml - supply.rated_ml_s"
      })
  void aPlantedMistakeInTheTextIsFound(String file, String right, String wrong) {
    Function<List<PlcConfig>, PlcSide> mistaken = TextPlc.withMistake(file, right, wrong);
    assertTrue(
        TABLE.keySet().stream()
            .filter(name -> scans(name) < WHOLE_DAY_SCANS)
            .anyMatch(name -> fails(name, mistaken)));
  }

  private static boolean fails(String name, Function<List<PlcConfig>, PlcSide> maker) {
    try {
      run(name, maker);
      return false;
    } catch (AssertionError | StException e) {
      return true;
    }
  }

  @Test
  void aWrongExpectationFails() {
    StepTable.Step wrong =
        new StepTable.Step(0, 1, List.of(), List.of(new StepTable.Pair("order_state", "1")), "");
    StepTank tank = new StepTank(new PlcSide.Simulated(StepConfig.of(List.of())), 0);
    assertThrows(AssertionError.class, () -> expect(wrong, tank, tank));
    assertFalse(TABLE.isEmpty());
  }

  private static Stream<DynamicTest> eachWith(Function<List<PlcConfig>, PlcSide> maker) {
    return TABLE.keySet().stream().map(name -> dynamicTest(name, () -> run(name, maker)));
  }

  private static int scans(String name) {
    return TABLE.getOrDefault(name, List.of()).stream().mapToInt(StepTable.Step::scans).sum();
  }

  private static boolean uses(String name, String input) {
    return TABLE.getOrDefault(name, List.of()).stream()
        .flatMap(step -> step.inputs().stream())
        .anyMatch(pair -> pair.key().equals(input));
  }

  private static void run(String name, Function<List<PlcConfig>, PlcSide> maker) {
    List<StepTable.Step> steps = TABLE.getOrDefault(name, List.of());
    PlcSide plc = maker.apply(StepConfig.of(steps));
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
}
