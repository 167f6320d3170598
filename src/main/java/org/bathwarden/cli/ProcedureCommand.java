package org.bathwarden.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PrintWriter;
import java.nio.charset.Charset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.bathwarden.config.ConfigException;
import org.bathwarden.face.ProceduresPayload;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Role;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Leads a person through charging, draining and changing a bath at the running service. */
@Command(
    name = "procedure",
    mixinStandardHelpOptions = true,
    description =
        "Leads a person through a charge, a drain or a change-out: what to do at each step, what"
            + " must be seen, what the running service sees now, what to mind. Enters what is told"
            + " at its console; a step that is not so is refused. Nothing is ever ordered.",
    footer = {
      "",
      "With --by it asks step by step; --begin, --step or --abandon enter one thing and end.",
      "Exit code: 0 if all was taken, else 1."
    })
public final class ProcedureCommand implements Callable<Integer> {

  @Mixin private ConsoleOptions console = new ConsoleOptions();

  @Option(names = "--list", description = "show where the procedures stand, do not ask")
  private boolean list;

  @Option(names = "--begin", paramLabel = "P", description = "begin charge, drain or change-out")
  private Optional<ProcedureKind> begin = Optional.empty();

  @Option(names = "--run-out", description = "of a change-out: use the old bath up first")
  private boolean runOut;

  @Option(names = "--step", paramLabel = "KEY", description = "tell that this step is done")
  private Optional<String> step = Optional.empty();

  @Option(names = "--litres", paramLabel = "X", description = "of a step: poured or drained")
  private Optional<Double> litres = Optional.empty();

  @Option(
      names = "--temperature",
      paramLabel = "C",
      description = "of a drain: measured by hand, while the probe shows nothing")
  private Optional<Double> temperature = Optional.empty();

  @Option(names = "--route", paramLabel = "TEXT", description = "of a drain: where the waste goes")
  private Optional<String> route = Optional.empty();

  @Option(
      names = "--document",
      paramLabel = "NO",
      description = "of a drain: number of its document")
  private Optional<String> document = Optional.empty();

  @Option(names = "--lot", paramLabel = "LOT", description = "of a portion: lot of the product")
  private Optional<String> lot = Optional.empty();

  @Option(names = "--abandon", paramLabel = "WHY", description = "end the open procedure")
  private Optional<String> abandon = Optional.empty();

  @Option(
      names = "--role",
      paramLabel = "R",
      description = "role of the person: operator (default), chemist or engineer")
  private Role role = Role.OPERATOR;

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws Exception {
    try {
      ConsoleClient client = console.client();
      Optional<List<ProceduresPayload>> live = client.procedures();
      if (live.isEmpty()) {
        spec.commandLine().getErr().println("the service does not answer; is it running?");
        return 1;
      }
      ProceduresPayload chosen = console.chosen(live.get(), ProceduresPayload::tank);
      boolean enters = begin.isPresent() || step.isPresent() || abandon.isPresent();
      if (!enters && (list || console.json || console.by.isEmpty())) {
        return show(chosen);
      }
      ConsoleDesk desk =
          new ConsoleDesk(client, chosen.tank(), console.needed(console.by, "--by"), out());
      ProcedureRound round = new ProcedureRound(desk, word(role));
      if (!enters) {
        return round.walk(
            new BufferedReader(new InputStreamReader(System.in, Charset.defaultCharset())));
      }
      return enter(round) ? 0 : 1;
    } catch (ConfigException | IOException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return 1;
    }
  }

  private boolean enter(ProcedureRound round) throws IOException, InterruptedException {
    if (abandon.isPresent()) {
      return round.abandon(abandon.get());
    } else if (begin.isPresent()) {
      return round.begin(word(begin.get()), runOut);
    }
    Map<String, Object> told = new LinkedHashMap<>();
    litres.ifPresent(value -> told.put("litres", value));
    temperature.ifPresent(value -> told.put("temperature_c", value));
    route.ifPresent(value -> told.put("route", value));
    document.ifPresent(value -> told.put("document", value));
    lot.ifPresent(value -> told.put("lot", value));
    return round.tell(step.orElse(""), told);
  }

  private int show(ProceduresPayload of) {
    if (console.json) {
      JsonOut.print(out(), ProcedureRound.data(of));
    } else {
      ProcedureRound.list(out(), of);
    }
    return 0;
  }

  private PrintWriter out() {
    return spec.commandLine().getOut();
  }

  private static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }
}
