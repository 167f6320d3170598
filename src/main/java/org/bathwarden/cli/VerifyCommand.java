package org.bathwarden.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.regex.Pattern;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.Verification;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Looks through a record, or a backup of one; the service may run meanwhile. */
@Command(
    name = "verify",
    mixinStandardHelpOptions = true,
    description =
        "Looks through a whole record or backup and changes nothing: pages, tables, the chain of"
            + " hashes over all events, that every quality record and state can be read. Fails if"
            + " something is wrong. It prints the hash of the newest event: note it elsewhere. Who"
            + " cuts off the end of a record, or writes it all anew, is only found with --noted.")
final class VerifyCommand implements Callable<Integer> {

  private static final Pattern HASH = Pattern.compile("[0-9a-f]{64}");

  @Option(names = "--config", paramLabel = "F", description = "configuration of the record")
  private Optional<Path> config = Optional.empty();

  @Option(names = "--file", paramLabel = "F", description = "a record or a backup")
  private Optional<Path> file = Optional.empty();

  @Option(
      names = "--noted",
      paramLabel = "HASH",
      description = "a hash that verify printed earlier and that must be in the chain")
  private Optional<String> noted = Optional.empty();

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  @Spec private CommandSpec spec = CommandSpec.create();

  /** 0 if nothing is wrong, 1 otherwise. */
  @Override
  public Integer call() {
    if (noted.isPresent() && !HASH.matcher(noted.get()).matches()) {
      throw new ParameterException(
          spec.commandLine(), "--noted: found " + noted.get() + "; a hash has 64 digits 0-9 a-f");
    }
    if (config.isPresent() == file.isPresent()) {
      throw new ParameterException(spec.commandLine(), "Either --config or --file is needed.");
    }
    try {
      Path record =
          file.isPresent() ? file.get() : ConfigReader.recordFile(config.orElse(Path.of("")));
      Verification found = Verification.of(record, noted);
      print(found);
      return found.sound() ? 0 : 1;
    } catch (ConfigException | RecordException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return 1;
    }
  }

  private void print(Verification found) {
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      JsonOut.print(out, data(found));
      return;
    }
    for (Verification.Finding finding : found.findings()) {
      out.println(word(finding) + ": " + finding.text());
    }
    if (found.notListed() > 0) {
      out.println("and " + found.notListed() + " more");
    }
    found.known().forEach(text -> out.println("known since an earlier start: " + text));
    out.println(summary(found));
    out.flush();
  }

  /** What every look ends with: the newest event, and the hash to note. */
  static String summary(Verification found) {
    long wrong = found.findings().size() + found.notListed();
    return String.format(
        Locale.ROOT,
        "%s: %s; %d events, newest %d, hash %s",
        found.file(),
        wrong == 0 ? "nothing wrong" : wrong + " findings",
        found.events(),
        found.newest(),
        found.newestHash());
  }

  private static String word(Verification.Finding finding) {
    return finding.kind().name().toLowerCase(Locale.ROOT);
  }

  private static Map<String, Object> data(Verification found) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("file", found.file().toString());
    data.put("sound", found.sound());
    data.put("version", found.version());
    data.put("events", found.events());
    data.put("newest_event", found.newest());
    data.put("newest_hash", found.newestHash());
    List<Map<String, String>> findings =
        found.findings().stream().map(f -> Map.of("kind", word(f), "text", f.text())).toList();
    data.put("findings", findings);
    data.put("findings_not_listed", found.notListed());
    data.put("known", found.known());
    return data;
  }
}
