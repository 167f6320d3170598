package org.bathwarden.cli;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.bathwarden.tank.TitrationArithmetic;
import org.bathwarden.tank.TitrationKit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** From a count of drops or a volume of titrant to a concentration with its uncertainty. */
@Command(
    name = "titration",
    mixinStandardHelpOptions = true,
    description =
        "Turns counted drops or a burette volume into a concentration and its uncertainty. Give"
            + " --drops and what goes with it, or --titrant-ml and what goes with it.",
    footer = {
      "",
      "Half a drop: the drop that completes the change is the last one counted, so the end point"
          + " lies somewhere in it. With --factor-from normality (worked out from the titrant's"
          + " normality, the size of a drop and the sample) the count reads half a drop high on"
          + " average, and 'corrected' is half a drop lower than 'as counted'. With --factor-from"
          + " counted (counted on a fresh bath of known strength: its strength over the drops) the"
          + " half drop is in the factor already and nothing is taken off."
    })
public final class TitrationCommand implements Callable<Integer> {

  @ArgGroup(multiplicity = "1")
  private How how = new How();

  @Option(
      names = "--strength",
      defaultValue = "100",
      description = "strength of the concentrate, %%: no bath is stronger (default 100: neat)")
  private double strengthPct;

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  @Spec private CommandSpec spec = CommandSpec.create();

  /** By drops or by burette. */
  static final class How {
    @ArgGroup(exclusive = false)
    private @Nullable ByDrops drops;

    @ArgGroup(exclusive = false)
    private @Nullable ByBurette burette;
  }

  /** A titration by drops. */
  static final class ByDrops {
    @Option(names = "--drops", required = true, description = "whole drops, the last one counted")
    private double drops;

    @Option(names = "--factor", required = true, description = "%% for each drop")
    private double factor;

    @Option(
        names = "--factor-from",
        required = true,
        description = "normality or counted: where the factor comes from, see below")
    private TitrationKit.FactorFrom from = TitrationKit.FactorFrom.NORMALITY;

    @Option(
        names = "--scatter",
        defaultValue = "0",
        description = "standard deviation of the operator, in drops (default 0)")
    private double scatter;
  }

  /** A titration by burette. */
  static final class ByBurette {
    @Option(names = "--titrant-ml", required = true, description = "titrant used, mL")
    private double titrantMl;

    @Option(names = "--blank-ml", defaultValue = "0", description = "blank, mL (default 0)")
    private double blankMl;

    @Option(names = "--normality", required = true, description = "of the titrant, mol/L of acid")
    private double normality;

    @Option(
        names = "--equivalent-factor",
        required = true,
        description = "%% times mL sample for each mmol; for %% w/v equivalent weight / 10")
    private double factor;

    @Option(names = "--sample-ml", required = true, description = "sample, mL")
    private double sampleMl;

    @Option(
        names = "--relative-u",
        defaultValue = "0.005",
        description = "relative standard uncertainty of titrant, factor and sample (default 0.005)")
    private double relative;

    @Option(
        names = "--reading-u-ml",
        defaultValue = "0.0144",
        description = "standard uncertainty of a reading, mL (default 0.0144, one drop of 0.05 mL)")
    private double readingUMl;
  }

  /** Prints the result; 0, or 1 if the input gives none. */
  @Override
  public Integer call() {
    List<String> wrong = new ArrayList<>();
    Optional.ofNullable(how.drops).ifPresent(by -> wrong(by, wrong));
    Optional.ofNullable(how.burette).ifPresent(by -> wrong(by, wrong));
    above("--strength", strengthPct, wrong);
    Optional<TitrationArithmetic.Result> result =
        Optional.ofNullable(how.drops)
            .map(TitrationCommand::byDrops)
            .orElseGet(() -> Optional.ofNullable(how.burette).flatMap(TitrationCommand::byBurette));
    result
        .filter(found -> wrong.isEmpty() && found.asCounted() > strengthPct)
        .ifPresent(found -> wrong.add(tooStrong(found)));
    if (wrong.isEmpty() && result.isPresent()) {
      print(result.get());
      return 0;
    }
    wrong.forEach(line -> spec.commandLine().getErr().println(line));
    return 1;
  }

  private static void wrong(ByDrops by, List<String> wrong) {
    if (!(by.drops >= 0) || by.drops != Math.rint(by.drops)) {
      wrong.add(
          "--drops must be a whole number, 0 or more, the drop that completes the change being the"
              + " last one counted; found "
              + by.drops);
    }
    above("--factor", by.factor, wrong);
    notNegative("--scatter", by.scatter, wrong);
  }

  private static void wrong(ByBurette by, List<String> wrong) {
    notNegative("--titrant-ml", by.titrantMl, wrong);
    notNegative("--blank-ml", by.blankMl, wrong);
    if (by.blankMl > by.titrantMl) {
      wrong.add("--blank-ml must not be above --titrant-ml; found " + by.blankMl);
    }
    above("--normality", by.normality, wrong);
    above("--equivalent-factor", by.factor, wrong);
    above("--sample-ml", by.sampleMl, wrong);
    notNegative("--relative-u", by.relative, wrong);
    notNegative("--reading-u-ml", by.readingUMl, wrong);
  }

  private static void above(String option, double value, List<String> wrong) {
    if (!(value > 0 && value < Double.POSITIVE_INFINITY)) {
      wrong.add(option + " must be above 0; found " + value);
    }
  }

  private static void notNegative(String option, double value, List<String> wrong) {
    if (!(value >= 0 && value < Double.POSITIVE_INFINITY)) {
      wrong.add(option + " must be 0 or more; found " + value);
    }
  }

  private String tooStrong(TitrationArithmetic.Result result) {
    return String.format(
        Locale.ROOT,
        "This gives %.1f %%, stronger than the concentrate (%.1f %%): check the count, the factor and"
            + " the sample.",
        result.asCounted(),
        strengthPct);
  }

  private static Optional<TitrationArithmetic.Result> byDrops(ByDrops by) {
    return TitrationArithmetic.drops(by.drops, new TitrationKit(by.factor, by.from, by.scatter, 0));
  }

  private static Optional<TitrationArithmetic.Result> byBurette(ByBurette by) {
    return TitrationArithmetic.burette(
        by.titrantMl, by.blankMl, by.normality, by.factor, by.sampleMl, by.relative, by.readingUMl);
  }

  private void print(TitrationArithmetic.Result result) {
    if (json) {
      Map<String, Object> fields = new LinkedHashMap<>();
      fields.put("as_counted_pct", result.asCounted());
      fields.put("corrected_pct", result.corrected());
      fields.put("u_pct", result.u());
      fields.put("low95_pct", Math.max(0, result.corrected() - 1.96 * result.u()));
      fields.put("high95_pct", result.corrected() + 1.96 * result.u());
      JsonOut.print(spec.commandLine().getOut(), fields);
      return;
    }
    spec.commandLine()
        .getOut()
        .println(
            String.format(
                Locale.ROOT,
                "as counted %.3f %%, corrected %.3f %%, standard uncertainty %.3f %%",
                result.asCounted(),
                result.corrected(),
                result.u()));
  }
}
