package org.bathwarden.simulator.plc;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.bathwarden.simulator.plc.StepTable.Step;

/**
 * Plays the same steps to two PLCs and compares, after every scan, all that can be seen of both.
 */
final class TwoSides {

  private final Function<List<PlcConfig>, PlcSide> one;
  private final Function<List<PlcConfig>, PlcSide> other;

  TwoSides(Function<List<PlcConfig>, PlcSide> one, Function<List<PlcConfig>, PlcSide> other) {
    this.one = one;
    this.other = other;
  }

  /** The first difference. */
  Optional<String> difference(List<Step> steps) {
    List<PlcConfig> configs = StepConfig.of(steps);
    List<PlcSide> sides = List.of(one.apply(configs), other.apply(configs));
    List<List<StepTank>> tanks =
        sides.stream().map(side -> List.of(new StepTank(side, 0), new StepTank(side, 1))).toList();
    for (Step step : steps) {
      tanks.forEach(pair -> pair.forEach(tank -> tank.apply(step)));
      for (int scan = 1; scan <= step.scans(); scan++) {
        for (int i = 0; i < 2; i++) {
          sides.get(i).scan(tanks.get(i).stream().map(StepTank::nextScan).toList());
        }
        Optional<String> seen = seen(sides);
        if (seen.isPresent()) {
          return Optional.of("step " + step.line() + " scan " + scan + ": " + seen.get());
        }
      }
    }
    return Optional.empty();
  }

  private static Optional<String> seen(List<PlcSide> sides) {
    for (int tank = 0; tank < 2; tank++) {
      PlcMemory a = sides.get(0).memory(tank);
      PlcMemory b = sides.get(1).memory(tank);
      for (FromPlc item : FromPlc.values()) {
        if (a.image().get(item) != b.image().get(item)) {
          return differs(tank, item.itemName(), a.image().get(item), b.image().get(item));
        }
      }
      for (ToPlc item : ToPlc.values()) {
        if (a.written().get(item) != b.written().get(item)) {
          return differs(tank, item.itemName(), a.written().get(item), b.written().get(item));
        }
      }
      if (!a.outputs().equals(b.outputs()) || a.cutOff() != b.cutOff()) {
        return differs(
            tank, "outputs", a.outputs() + " " + a.cutOff(), b.outputs() + " " + b.cutOff());
      }
      int[] x = sides.get(0).standing(tank);
      int[] y = sides.get(1).standing(tank);
      if (!Arrays.equals(x, y)) {
        return differs(tank, "holding registers", Arrays.toString(x), Arrays.toString(y));
      }
    }
    return Optional.empty();
  }

  private static Optional<String> differs(int tank, String what, Object a, Object b) {
    return Optional.of("tank " + (tank + 1) + " " + what + " " + a + " against " + b);
  }

  /** Fewer steps that still differ, as rows for plc-steps.csv. */
  String shortest(List<Step> differing) {
    List<Step> steps = new ArrayList<>(differing);
    for (int i = steps.size() - 1; i >= 0; i--) {
      List<Step> without = new ArrayList<>(steps);
      without.remove(i);
      if (difference(without).isPresent()) {
        steps = without;
      }
    }
    String rows =
        steps.stream()
            .map(
                step ->
                    "found,"
                        + step.scans()
                        + ","
                        + step.inputs().stream()
                            .map(pair -> pair.key() + "=" + pair.value())
                            .collect(Collectors.joining(" "))
                        + ",,")
            .collect(Collectors.joining("\n"));
    return difference(steps).orElse("") + "\n" + rows;
  }
}
