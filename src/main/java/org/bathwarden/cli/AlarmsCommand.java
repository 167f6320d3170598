package org.bathwarden.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.bathwarden.alarm.AlarmCatalogue;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Prints the alarm catalogue: the default one, or that of each tank of a configuration. */
@Command(
    name = "alarms",
    mixinStandardHelpOptions = true,
    description =
        "Prints the alarm catalogue: every key with its priority, condition, cause, consequence,"
            + " response alone and with help, and time to respond.")
final class AlarmsCommand implements Callable<Integer> {

  @Option(names = "--config", paramLabel = "F", description = "configuration; default: none")
  private Optional<Path> config = Optional.empty();

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  @Spec private CommandSpec spec = CommandSpec.create();

  /** 0 if the configuration, if any, could be read; 1 otherwise. */
  @Override
  public Integer call() {
    Map<String, AlarmSettings> catalogues = new LinkedHashMap<>();
    try {
      if (config.isEmpty()) {
        catalogues.put("default", AlarmSettings.defaults());
      } else {
        for (Configuration.Tank tank : ConfigReader.read(config.get(), System.getenv()).tanks()) {
          catalogues.put(tank.id().name(), tank.sheet().alarm());
        }
      }
    } catch (ConfigException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return 1;
    }
    if (json) {
      List<Map<String, Object>> data = new ArrayList<>();
      catalogues.forEach(
          (tank, settings) -> data.add(Map.of("tank", tank, "alarms", rows(settings))));
      JsonOut.print(spec.commandLine().getOut(), data);
      return 0;
    }
    catalogues.forEach(this::markdown);
    spec.commandLine().getOut().flush();
    return 0;
  }

  private static List<Map<String, String>> rows(AlarmSettings settings) {
    List<List<String>> table = AlarmCatalogue.table(settings);
    List<Map<String, String>> rows = new ArrayList<>();
    for (List<String> cells : table.subList(1, table.size())) {
      Map<String, String> row = new LinkedHashMap<>();
      for (int i = 0; i < cells.size(); i++) {
        row.put(table.get(0).get(i).replaceAll("[ -]", "_"), cells.get(i));
      }
      rows.add(row);
    }
    return rows;
  }

  private void markdown(String tank, AlarmSettings settings) {
    List<List<String>> table = AlarmCatalogue.table(settings);
    var out = spec.commandLine().getOut();
    out.println("## " + tank + "\n");
    out.println("| " + String.join(" | ", table.get(0)) + " |");
    out.println("| --- ".repeat(table.get(0).size()) + "|");
    table
        .subList(1, table.size())
        .forEach(row -> out.println("| " + String.join(" | ", row) + " |"));
    out.println();
  }
}
