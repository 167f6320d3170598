package org.bathwarden.simulator.plc;

import java.util.List;

/** Settings of the two tanks of a sequence of steps: those that plc-steps.csv names at its head. */
final class StepConfig {

  private StepConfig() {}

  static List<PlcConfig> of(List<StepTable.Step> steps) {
    List<StepTable.Pair> settings = steps.stream().flatMap(step -> step.inputs().stream()).toList();
    return List.of(config(1, settings), config(2, settings));
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
