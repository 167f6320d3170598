package org.bathwarden.cli;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.bathwarden.dosing.DosingLimits;
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

  @Option(
      names = "--max-volume",
      description =
          "most the tank may hold, L (default: no limit for concentrate; no water above the wanted"
              + " volume)")
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

  @Option(
      names = "--temperature",
      description = "bath temperature, °C, 0 to 100, to say what water cools")
  private Optional<Double> temperatureC = Optional.empty();

  @Option(
      names = "--water-temperature",
      defaultValue = "15",
      description = "temperature of the make-up water, °C, 0 to 100 (default 15)")
  private double waterC;

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  @Spec private CommandSpec spec = CommandSpec.create();

  /** Prints the plan; 0, or 1 if the input is refused. */
  @Override
  public Integer call() {
    List<String> wrong = wrongTemperatures();
    TopUpInput in = input();
    TopUp plan = TopUps.plan(in);
    if (plan instanceof TopUp.Refused refused) {
      wrong.add(0, refused.reason());
    }
    if (!wrong.isEmpty()) {
      spec.commandLine().getErr().println("Refused: " + String.join("; ", wrong));
      return 1;
    }
    Map<String, Object> fields = fields(plan, in);
    if (json) {
      JsonOut.print(spec.commandLine().getOut(), fields);
    } else {
      fields.forEach((name, value) -> spec.commandLine().getOut().println(name + ": " + value));
    }
    return 0;
  }

  /** Water for a bath that is too strong needs a room that was named; concentrate raises little. */
  private TopUpInput input() {
    double wantedL = targetVolumeL.orElse(volumeL);
    double noLimitL = Double.MAX_VALUE / 1e10;
    return new TopUpInput(
        volumeL,
        concentrationPct,
        wantedL,
        targetPct,
        highPct.orElse(targetPct),
        maximumL.orElse(aboveHigh() ? Math.max(wantedL, volumeL) : noLimitL),
        lowGuardL,
        strengthPct,
        waterPct);
  }

  private boolean aboveHigh() {
    return concentrationPct > highPct.orElse(targetPct);
  }

  private List<String> wrongTemperatures() {
    List<String> wrong = new ArrayList<>();
    temperatureC.ifPresent(hot -> temperature("--temperature", hot, wrong));
    temperature("--water-temperature", waterC, wrong);
    return wrong;
  }

  private static void temperature(String option, double valueC, List<String> wrong) {
    if (!(valueC >= 0 && valueC <= 100)) {
      wrong.add(option + " must be 0 to 100 °C, found " + valueC);
    }
  }

  private Map<String, Object> fields(TopUp plan, TopUpInput in) {
    Map<String, Object> fields = new LinkedHashMap<>();
    Optional<TopUp.Drain> drain = Optional.empty();
    if (plan instanceof TopUp.Add add) {
      fields.put("action", "add");
      fields.put("concentrate_l", rounded(add.concentrateL(), 2));
      fields.put("water_l", rounded(add.waterL(), 2));
      fields.put("first", add.first().word());
      fields.put("end_volume_l", rounded(add.endVolumeL(), 2));
      fields.put("end_concentration_pct", rounded(add.endConcentrationPct(), 3));
      fields.put("remaining_concentrate_l", rounded(add.remainingConcentrateL(), 2));
      if (add.waterL() > 0) {
        cooling(add.waterL(), fields);
      }
      drain = add.drain();
    } else if (plan instanceof TopUp.Hold hold) {
      fields.put("action", "hold");
      drain = hold.drain();
    }
    fields.put("reason", plan.reason() + assumed());
    boolean overDrain = aboveHigh() && maximumL.isPresent();
    drain
        .or(() -> overDrain ? TopUps.drainForStrong(in) : Optional.empty())
        .ifPresent(step -> fields.put("for_a_named_person", step.words()));
    return fields;
  }

  /** What decided about a bath above its high limit and was not given. */
  private String assumed() {
    if (!aboveHigh()) {
      return "";
    }
    return (highPct.isPresent() ? "" : "; no --high given, so the high limit is the target")
        + (maximumL.isPresent()
            ? ""
            : "; no --max-volume given, so no water above the volume wanted");
  }

  private void cooling(double waterL, Map<String, Object> fields) {
    if (temperatureC.isEmpty()) {
      fields.put("cooling", "not worked out: no --temperature given");
      return;
    }
    double hotC = temperatureC.get();
    double afterC = (hotC * volumeL + waterC * waterL) / (volumeL + waterL);
    fields.put("temperature_after_water_c", rounded(afterC, 1));
    double portionL = TopUps.coldWaterLimitL(volumeL, hotC, waterC, DosingLimits.USUAL_COOLING_K);
    if (waterL > portionL) {
      fields.put(
          "cooling",
          String.format(
              Locale.ROOT,
              "all the water at once cools the bath by %.1f K: add at most %.1f L at once (%.0f K)"
                  + " and let it heat up in between",
              hotC - afterC,
              portionL,
              DosingLimits.USUAL_COOLING_K));
    }
  }

  private static double rounded(double value, int digits) {
    double scale = Math.pow(10, digits);
    return Math.round(value * scale) / scale;
  }
}
