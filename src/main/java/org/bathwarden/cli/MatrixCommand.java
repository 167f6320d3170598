package org.bathwarden.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.function.Function;
import org.bathwarden.dosing.CauseAndEffect;
import org.bathwarden.dosing.Matrix;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Prints the cause and effect table: the default one, or that of each tank of a configuration. */
@Command(
    name = "matrix",
    mixinStandardHelpOptions = true,
    description =
        "Prints the cause and effect matrix of the interlocks, as evaluated: one row for each"
            + " cause. A permit mapped to a constant prints as \"not wired\".",
    footer = {
      "",
      "reads: the points and permit bits behind a cause; empty where the cause is a fault bit of the"
          + " PLC, the state of an order, or the controller's own state.",
      "on delay: so long a cause must be there before it acts and stops a running order; meanwhile"
          + " none is begun that it would stop.",
      "bypass: whether a cause may be bypassed at all. A permit without a wire is bypassed by name"
          + " with signed_off in the configuration.",
      "reduced caps: half of each limit. latched: stays until the person named resets it."
    })
public final class MatrixCommand implements Callable<Integer> {

  /** How the matrix is printed. */
  public enum Format {
    /** A table in Markdown. */
    MD,
    /** RFC 4180. */
    CSV
  }

  private final Optional<Function<Path, List<Matrix.Tank>>> configuration;

  @Option(names = "--config", paramLabel = "F", description = "configuration; default: none")
  private Optional<Path> config = Optional.empty();

  @Option(names = "--format", description = "md or csv (default md)")
  private Format format = Format.MD;

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  @Spec private CommandSpec spec = CommandSpec.create();

  /** Prints the default table only. */
  public MatrixCommand() {
    this.configuration = Optional.empty();
  }

  /** Also prints the tables of a configuration, read by {@code configuration}. */
  public MatrixCommand(Function<Path, List<Matrix.Tank>> configuration) {
    this.configuration = Optional.of(configuration);
  }

  /** Prints; always 0, since what cannot be read ends in an exception before. */
  @Override
  public Integer call() {
    List<Matrix.Tank> tanks = tanks();
    if (json) {
      JsonOut.print(spec.commandLine().getOut(), tanks.stream().map(MatrixCommand::data).toList());
      return 0;
    }
    if (format == Format.CSV) {
      spec.commandLine().getOut().print(Matrix.csv(tanks));
      spec.commandLine().getOut().flush();
      return 0;
    }
    for (Matrix.Tank tank : tanks) {
      spec.commandLine().getOut().println("## " + tank.name() + "\n");
      spec.commandLine().getOut().println(Matrix.markdown(tank.table(), tank.notWired()));
    }
    return 0;
  }

  private List<Matrix.Tank> tanks() {
    if (config.isEmpty()) {
      return List.of(new Matrix.Tank("default", CauseAndEffect.standard(), Set.of()));
    }
    return configuration
        .orElseThrow(
            () -> new ParameterException(spec.commandLine(), "--config cannot be read here"))
        .apply(config.get());
  }

  private static Map<String, Object> data(Matrix.Tank tank) {
    List<Map<String, Object>> rows = new ArrayList<>();
    for (List<String> cells : Matrix.cells(tank.table(), tank.notWired())) {
      Map<String, Object> row = new LinkedHashMap<>();
      for (int i = 0; i < cells.size(); i++) {
        String column = Matrix.COLUMNS.get(i);
        String cell = cells.get(i);
        row.put(column, column.endsWith("_s") ? (Object) Long.valueOf(cell) : cell);
      }
      rows.add(row);
    }
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("tank", tank.name());
    data.put("rows", rows);
    return data;
  }
}
