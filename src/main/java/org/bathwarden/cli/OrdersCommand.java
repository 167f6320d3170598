package org.bathwarden.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
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
    description =
        "Prints every order in the record of a configuration as CSV; with --long or --json also when"
            + " it was made and closed, why, and why it ended early. delivered_ml is booked when an"
            + " order is closed and 0 until then. Numbers of instance i are i, i + 16, i + 32 ...")
public final class OrdersCommand implements Callable<Integer> {

  private static final String HEADER =
      "tank,order_number,kind,ordered_ml,delivered_ml,state,instance";

  private static final String LONG = ",reason,prepared_at,closed_at,because";

  @Option(names = "--config", required = true, paramLabel = "F", description = "configuration")
  private Path config = Path.of("");

  @Option(names = "--long", description = "more columns: times and reasons")
  private boolean all;

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
    out.println(all ? HEADER + LONG : HEADER);
    for (OrderList.Row row : rows) {
      Map<String, Object> cells = all ? all(row) : data(row);
      out.println(String.join(",", cells.values().stream().map(OrdersCommand::cell).toList()));
    }
    out.flush();
  }

  /** RFC 4180: texts with commas, quotes or line ends stand in quotes. */
  private static String cell(Object value) {
    String text = value.toString();
    boolean plain = text.chars().noneMatch(c -> c == ',' || c == '"' || c == '\n' || c == '\r');
    return plain ? text : '"' + text.replace("\"", "\"\"") + '"';
  }

  /** The columns, which stay as they are, and what has no column there. */
  private static Map<String, Object> all(OrderList.Row row) {
    Map<String, Object> all = data(row);
    all.put("reason", row.reason());
    all.put("prepared_at", time(row.preparedAt()));
    all.put("closed_at", time(row.closedAt()));
    all.put("because", row.wanted());
    return all;
  }

  private static String time(Optional<Instant> at) {
    return at.map(time -> time.truncatedTo(ChronoUnit.SECONDS).toString()).orElse("");
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
