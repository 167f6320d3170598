package org.bathwarden.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.record.OrderList;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.RecordReader;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Lists every order of a record; the service may run meanwhile. */
@Command(
    name = "orders",
    mixinStandardHelpOptions = true,
    description = "Prints every order in the record of a configuration as CSV.")
public final class OrdersCommand implements Callable<Integer> {

  private static final String HEADER =
      "tank,order_number,kind,ordered_ml,delivered_ml,state,instance";

  @Option(names = "--config", required = true, paramLabel = "F", description = "configuration")
  private Path config = Path.of("");

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  @Spec private CommandSpec spec = CommandSpec.create();

  /** 0 if the record could be read, 1 otherwise. */
  @Override
  public Integer call() {
    try (RecordReader record = RecordReader.open(ConfigReader.recordFile(config))) {
      print(record.orders());
      return 0;
    } catch (ConfigException | RecordException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return 1;
    }
  }

  private void print(List<OrderList.Row> rows) {
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      JsonOut.print(out, rows.stream().map(OrdersCommand::all).toList());
      return;
    }
    out.println(HEADER);
    for (OrderList.Row row : rows) {
      out.println(String.join(",", data(row).values().stream().map(Object::toString).toList()));
    }
    out.flush();
  }

  /** The columns, which stay as they are, and what has no column. */
  private static Map<String, Object> all(OrderList.Row row) {
    Map<String, Object> all = data(row);
    all.put("reason", row.reason());
    return all;
  }

  private static Map<String, Object> data(OrderList.Row row) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("tank", row.tank().name());
    data.put("order_number", row.number());
    data.put("kind", row.product().word());
    data.put("ordered_ml", row.orderedMl());
    data.put("delivered_ml", row.deliveredMl());
    data.put("state", row.state().word());
    data.put("instance", row.instance());
    return data;
  }
}
