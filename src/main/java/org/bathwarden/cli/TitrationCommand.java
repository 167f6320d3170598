package org.bathwarden.cli;

import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.bathwarden.tank.TitrationArithmetic;
import org.bathwarden.tank.TitrationKit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** From a count of drops or a volume of titrant to a concentration with its uncertainty. */
@Command(
    name = "titration",
    mixinStandardHelpOptions = true,
    description =
        "Turns counted drops or a burette volume into a concentration and its uncertainty.")
public final class TitrationCommand implements Callable<Integer> {

  @ArgGroup(multiplicity = "1")
  private How how = new How();

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

  /** Takes the words in any case; another one is wrong usage. */
  static final class FactorWord implements ITypeConverter<TitrationKit.FactorFrom> {
    @Override
    public TitrationKit.FactorFrom convert(String word) {
      return TitrationKit.FactorFrom.valueOf(word.toUpperCase(Locale.ROOT));
    }
  }

  /** A titration by drops. */
  static final class ByDrops {
    @Option(names = "--drops", required = true, description = "whole drops, the last one counted")
    private double drops;

    @Option(names = "--factor", required = true, description = "%% for each drop")
    private double factor;

    @Option(
        names = "--factor-from",
        converter = FactorWord.class,
        required = true,
        description = "normality or counted: where the factor comes from")
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

    @Option(names = "--normality", required = true, description = "titrant, mol/L")
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
    Optional<TitrationArithmetic.Result> result =
        Optional.ofNullable(how.drops)
            .map(TitrationCommand::byDrops)
            .orElseGet(() -> Optional.ofNullable(how.burette).flatMap(TitrationCommand::byBurette));
    if (result.isEmpty()) {
      spec.commandLine()
          .getErr()
          .println(
              "No titration gives this: counts are whole and not negative, the blank is below the"
                  + " titrant, factor, normality and sample are positive.");
      return 1;
    }
    print(result.get());
    return 0;
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
                "as counted %.4f %%, corrected %.4f %%, standard uncertainty %.4f %%",
                result.asCounted(),
                result.corrected(),
                result.u()));
  }
}
