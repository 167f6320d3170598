package org.bathwarden.cli;

import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.bathwarden.dosing.TopUp;
import org.bathwarden.dosing.TopUpInput;
import org.bathwarden.dosing.TopUps;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** The top-up arithmetic by hand. It knows no tank, no doubt and no interlock. */
@Command(
    name = "topup",
    mixinStandardHelpOptions = true,
    description =
        "Works out what brings a bath to its target: volumes in L at 20 °C, strengths in %% by"
            + " volume. Arithmetic only: no interlocks, no doubt. Slowly, circulation on, alkali"
            + " into water, goggles and gloves.")
public final class TopupCommand implements Callable<Integer> {

  @Option(names = "--volume", required = true, description = "liquid in the tank, L")
  private double volumeL;

  @Option(names = "--concentration", required = true, description = "its strength, %%")
  private double concentrationPct;

  @Option(names = "--target", required = true, description = "wanted strength, %%")
  private double targetPct;

  @Option(names = "--target-volume", description = "wanted volume, L (default: as it is)")
  private Optional<Double> targetVolumeL = Optional.empty();

  @Option(names = "--high", description = "high limit, %% (default: the target)")
  private Optional<Double> highPct = Optional.empty();

  @Option(names = "--max-volume", description = "most the tank may hold, L (default: no limit)")
  private Optional<Double> maximumL = Optional.empty();

  @Option(
      names = "--low-guard",
      defaultValue = "0",
      description = "level near which water comes first, L (default 0)")
  private double lowGuardL;

  @Option(
      names = "--strength",
      defaultValue = "100",
      description = "strength of the concentrate, %% (default 100: neat)")
  private double strengthPct;

  @Option(
      names = "--water-strength",
      defaultValue = "0",
      description = "strength of the make-up water, %% (default 0)")
  private double waterPct;

  @Option(names = "--temperature", description = "bath temperature, °C, to say what water cools")
  private Optional<Double> temperatureC = Optional.empty();

  @Option(
      names = "--water-temperature",
      defaultValue = "15",
      description = "temperature of the make-up water, °C (default 15)")
  private double waterC;

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  @Spec private CommandSpec spec = CommandSpec.create();

  /** Prints the plan; 0, or 1 if the input is refused. */
  @Override
  public Integer call() {
    TopUpInput in =
        new TopUpInput(
            volumeL,
            concentrationPct,
            targetVolumeL.orElse(volumeL),
            targetPct,
            highPct.orElse(targetPct),
            maximumL.orElse(Double.MAX_VALUE / 1e10),
            lowGuardL,
            strengthPct,
            waterPct);
    TopUp plan = TopUps.plan(in);
    if (plan instanceof TopUp.Refused refused) {
      spec.commandLine().getErr().println("Refused: " + refused.reason());
      return 1;
    }
    Map<String, Object> fields = fields(plan, in);
    if (json) {
      JsonOut.print(spec.commandLine().getOut(), fields);
    } else {
      fields.forEach((name, value) -> spec.commandLine().getOut().println(line(name, value)));
    }
    return 0;
  }

  private Map<String, Object> fields(TopUp plan, TopUpInput in) {
    Map<String, Object> fields = new LinkedHashMap<>();
    Optional<TopUp.Drain> drain = Optional.empty();
    if (plan instanceof TopUp.Add add) {
      fields.put("action", "add");
      fields.put("concentrate_l", add.concentrateL());
      fields.put("water_l", add.waterL());
      fields.put("first", add.first().word());
      fields.put("end_volume_l", add.endVolumeL());
      fields.put("end_concentration_pct", add.endConcentrationPct());
      fields.put("remaining_concentrate_l", add.remainingConcentrateL());
      temperatureC.ifPresent(
          hot -> fields.put("temperature_after_water_c", cooled(hot, add.waterL())));
      drain = add.drain();
    } else if (plan instanceof TopUp.Hold hold) {
      fields.put("action", "hold");
      drain = hold.drain();
    }
    fields.put("reason", plan.reason());
    Optional<TopUp.Drain> strong = maximumL.flatMap(limit -> TopUps.drainForStrong(in));
    drain.or(() -> strong).ifPresent(step -> fields.put("for_a_named_person", step.words()));
    return fields;
  }

  private double cooled(double hotC, double waterL) {
    return (hotC * volumeL + waterC * waterL) / (volumeL + waterL);
  }

  private static String line(String name, Object value) {
    return name
        + ": "
        + (value instanceof Double d ? String.format(Locale.ROOT, "%.4f", d) : value);
  }
}
