package org.bathwarden.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PrintWriter;
import java.nio.charset.Charset;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.face.ProofsPayload;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.RecordReader;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Leads an engineer through what is to be proved at the line, and enters what was found. */
@Command(
    name = "prove",
    mixinStandardHelpOptions = true,
    description =
        "Walks through each input and interlock of a tank: what to do at the line, what must be"
            + " seen, what the running service sees now. Enters pass or fail at its console; a pass"
            + " that the service did not see itself is refused. Without the service it only lists,"
            + " from the record.",
    footer = {
      "",
      "Order of a round: measured points and permits first, then the test doses. --dose orders one"
          + " smallest portion in propose mode for the item named (watchdog, dose-concentrate,"
          + " dose-water); all interlocks hold while it runs, and the tank only proposes again"
          + " afterwards. The one for the watchdog loses its heartbeat while it flows. Stand at the"
          + " tank, in protective equipment, within reach of the emergency stop.",
      "Exit code of a list: 0 if command mode waits for nothing, else 1."
    })
public final class ProveCommand implements Callable<Integer> {

  /** What was found. */
  public enum Result {
    /** It did what it must. */
    PASS,
    /** It did not. */
    FAIL
  }

  @Mixin private ConsoleOptions console = new ConsoleOptions();

  @Option(names = "--list", description = "list the items with their state, do not ask")
  private boolean list;

  @Option(
      names = "--item",
      paramLabel = "KEY",
      description = "the item to enter, or to walk through")
  private Optional<String> item = Optional.empty();

  @Option(names = "--result", paramLabel = "R", description = "enter pass or fail for the item")
  private Optional<Result> result = Optional.empty();

  @Option(names = "--measured", paramLabel = "X", description = "what another instrument showed")
  private Optional<Double> measured = Optional.empty();

  @Option(names = "--note", paramLabel = "TEXT", description = "free text kept with the result")
  private String note = "";

  @Option(names = "--dose", description = "order the test dose of the item and wait for its end")
  private boolean dose;

  @Option(
      names = "--product",
      description = "of the watchdog's test dose: concentrate or water (default water)")
  private Product product = Product.WATER;

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws Exception {
    try {
      ConsoleClient client = console.client();
      Optional<List<ProofsPayload>> live = client.proofs();
      if (live.isEmpty()) {
        return offline();
      }
      return console.json && console.tank.isEmpty() && !enters()
          ? json(live.get())
          : online(client, live.get());
    } catch (ConfigException | RecordException | IOException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return 1;
    }
  }

  private boolean enters() {
    return result.isPresent() || dose;
  }

  private int online(ConsoleClient client, List<ProofsPayload> all)
      throws IOException, InterruptedException {
    ProofsPayload chosen = console.chosen(all, ProofsPayload::tank);
    if (!enters() && (console.json || list)) {
      return console.json ? json(List.of(chosen)) : list(chosen);
    }
    ProofRound round =
        new ProofRound(
            new ConsoleDesk(client, chosen.tank(), console.needed(console.by, "--by"), out()));
    if (!enters()) {
      BufferedReader in =
          new BufferedReader(new InputStreamReader(System.in, Charset.defaultCharset()));
      return round.walk(in, item, product);
    }
    ProofsPayload.Item named =
        console.named(
            "--item", chosen.items(), ProofsPayload.Item::item, console.needed(item, "--item"));
    if (dose && !round.dose(named, product)) {
      return 1;
    }
    OptionalDouble other = measured.map(OptionalDouble::of).orElse(OptionalDouble.empty());
    return result.isEmpty() || round.enter(named, result.get() == Result.PASS, other, note) ? 0 : 1;
  }

  /** From the record and the configuration as it is now. */
  private int offline() throws ConfigException, RecordException {
    if (enters()) {
      spec.commandLine()
          .getErr()
          .println("the service does not answer: only it can enter a proof; is it running?");
      return 1;
    }
    spec.commandLine().getErr().println("the service does not answer; this is from the record");
    List<ProofsPayload> all = recorded(ConfigReader.read(console.config, System.getenv()));
    if (console.json && console.tank.isEmpty()) {
      return json(all);
    }
    return console.json
        ? json(List.of(console.chosen(all, ProofsPayload::tank)))
        : list(console.chosen(all, ProofsPayload::tank));
  }

  /** How the proofs in the record stand by the configuration as it is now. */
  static List<ProofsPayload> recorded(Configuration configuration) throws RecordException {
    Now now = Now.at(Instant.now());
    try (RecordReader record = RecordReader.open(configuration.record())) {
      List<ProofsPayload> all = new ArrayList<>();
      for (Configuration.Tank one : configuration.tanks()) {
        all.add(
            ProofsPayload.of(
                one.id(),
                Optional.empty(),
                one.sheet().dosing().proofs(),
                record.proofs(one.id()),
                Optional.empty(),
                any -> Optional.empty(),
                now));
      }
      return all;
    }
  }

  private PrintWriter out() {
    return spec.commandLine().getOut();
  }

  private int json(List<ProofsPayload> all) {
    JsonOut.print(out(), all.stream().map(ProofRound::data).toList());
    return all.stream().allMatch(one -> one.toProve().isEmpty()) ? 0 : 1;
  }

  private int list(ProofsPayload of) {
    ProofRound.list(out(), of);
    return of.toProve().isEmpty() ? 0 : 1;
  }
}
