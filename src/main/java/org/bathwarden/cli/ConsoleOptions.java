package org.bathwarden.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Options of the commands that lead a person through something at a running service. */
final class ConsoleOptions {

  @Option(names = "--config", required = true, paramLabel = "F", description = "configuration")
  Path config = Path.of("");

  @Option(names = "--tank", paramLabel = "T", description = "the tank; needed if there are several")
  Optional<String> tank = Optional.empty();

  @Option(names = "--json", description = "list as JSON")
  boolean json;

  @Option(
      names = "--by",
      paramLabel = "NAME",
      description = "who does it; needed to enter anything")
  Optional<String> by = Optional.empty();

  @Option(
      names = "--port",
      paramLabel = "N",
      description = "port of the service, if not as configured")
  Optional<Integer> port = Optional.empty();

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec = CommandSpec.create();

  ConsoleClient client() throws ConfigException {
    return new ConsoleClient(ConfigReader.console(config), port);
  }

  String needed(Optional<String> option, String name) {
    return option.orElseThrow(
        () ->
            new ParameterException(spec.commandLine(), "Missing required option: '" + name + "'"));
  }

  /** The one that {@code --tank} names, or the only one there is. */
  <T> T chosen(List<T> all, Function<T, String> name) {
    if (tank.isEmpty() && all.size() == 1) {
      return all.get(0);
    }
    return named("--tank", all, name, tank.orElse("none"));
  }

  /** The one of {@code all} whose name is {@code wanted}. */
  <T> T named(String option, List<T> all, Function<T, String> name, String wanted) {
    return all.stream()
        .filter(one -> name.apply(one).equals(wanted))
        .findFirst()
        .orElseThrow(
            () ->
                new ParameterException(
                    spec.commandLine(),
                    option
                        + ": found "
                        + wanted
                        + "; allowed is one of "
                        + all.stream().map(name).toList()));
  }
}
