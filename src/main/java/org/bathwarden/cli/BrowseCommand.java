package org.bathwarden.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.opcua.OpcUaBrowser;
import org.bathwarden.line.opcua.OpcUaSettings;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Lists the nodes of an OPC UA server, to map a tank's points to. */
@Command(
    name = "browse",
    mixinStandardHelpOptions = true,
    description =
        "Lists the objects and variables of an OPC UA server below its folder Objects, with node,"
            + " type and value as a configuration's points have them. Uses the security and login of"
            + " the connection; nothing is written. The server's own object is left out. A"
            + " node of another namespace than the connection's is mapped as nsu=NAMESPACE;NODE.")
public final class BrowseCommand implements Callable<Integer> {

  private static final String ROW = "%-40s %-8s %-20s %s%n";

  @Option(names = "--config", required = true, paramLabel = "F", description = "configuration")
  private Path config = Path.of("");

  @Option(
      names = "--connection",
      paramLabel = "NAME",
      description = "the connection; needed if several are OPC UA")
  private Optional<String> connection = Optional.empty();

  @Option(names = "--depth", description = "levels below Objects (default ${DEFAULT-VALUE})")
  private int depth = 6;

  @Option(names = "--most", description = "nodes at most (default ${DEFAULT-VALUE})")
  private int most = 1000;

  @Option(
      names = "--wait",
      paramLabel = "T",
      description = "time it may take (default ${DEFAULT-VALUE})")
  private String wait = "60s";

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  @Spec private CommandSpec spec = CommandSpec.create();

  /** 0 if the server could be walked, also if only in part. */
  @Override
  public Integer call() {
    long until = System.nanoTime() + Durations.parse(spec, "--wait", wait).toNanos();
    within("--depth", depth, 20);
    within("--most", most, 20_000);
    try {
      Configuration.Line line = line(ConfigReader.read(config, System.getenv()));
      OpcUaSettings settings = ((Configuration.Protocol.OpcUa) line.protocol()).settings();
      try (OpcUaBrowser browser = OpcUaBrowser.open(settings)) {
        print(line, browser.browse(depth, most, new Deadline(until)));
      }
      return 0;
    } catch (ConfigException | IOException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return 1;
    }
  }

  private void within(String name, int value, int highest) {
    if (value < 1 || value > highest) {
      throw new ParameterException(
          spec.commandLine(), name + ": found " + value + "; allowed is 1 to " + highest);
    }
  }

  private Configuration.Line line(Configuration configuration) {
    List<Configuration.Line> all =
        configuration.lines().stream()
            .filter(line -> line.protocol() instanceof Configuration.Protocol.OpcUa)
            .toList();
    if (connection.isEmpty() && all.size() == 1) {
      return all.get(0);
    }
    return all.stream()
        .filter(line -> connection.equals(Optional.of(line.name())))
        .findFirst()
        .orElseThrow(
            () ->
                new ParameterException(
                    spec.commandLine(),
                    "--connection: found "
                        + connection.orElse("none")
                        + "; OPC UA are "
                        + all.stream().map(Configuration.Line::name).toList()));
  }

  private void print(Configuration.Line line, OpcUaBrowser.Found found) {
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> data = new LinkedHashMap<>();
      data.put("connection", line.name());
      data.put("endpoint", line.protocol().address());
      data.put("cut", found.cut());
      List<Map<String, Object>> nodes = new ArrayList<>();
      found.nodes().forEach(node -> nodes.add(data(node)));
      data.put("nodes", nodes);
      JsonOut.print(out, data);
      return;
    }
    out.printf("%s, %s%n", line.name(), line.protocol().address());
    String namespace = "";
    out.printf(ROW, "node", "type", "value", "path");
    for (OpcUaBrowser.Node node : found.nodes()) {
      if (!node.namespaceUri().equals(namespace)) {
        namespace = node.namespaceUri();
        out.printf("namespace: %s%n", namespace);
      }
      String type = node.variable() ? node.type() : "object";
      out.printf(ROW, node.identifier(), type, node.value(), node.path());
    }
    out.printf(
        "%d nodes%s%n",
        found.nodes().size(), found.cut() ? "; there are more: see --depth and --most" : "");
    out.flush();
  }

  private static Map<String, Object> data(OpcUaBrowser.Node node) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("namespace", node.namespaceUri());
    data.put("node", node.identifier());
    data.put("path", node.path());
    data.put("kind", node.variable() ? "variable" : "object");
    data.put("type", node.type());
    data.put("value", node.value());
    return data;
  }
}
