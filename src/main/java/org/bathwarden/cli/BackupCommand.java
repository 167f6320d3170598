package org.bathwarden.cli;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.concurrent.Callable;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.record.Backup;
import org.bathwarden.record.RecordException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Copies the record; the service may run meanwhile. */
@Command(
    name = "backup",
    mixinStandardHelpOptions = true,
    description =
        "Copies the record of a configuration into one file, as it is at one moment, while the"
            + " service goes on. The copy is looked through before it bears its name. Prints the"
            + " hash of the newest event, to be noted elsewhere.")
final class BackupCommand implements Callable<Integer> {

  private static final DateTimeFormatter STAMP =
      DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmmss'Z'").withZone(ZoneOffset.UTC);

  @Option(names = "--config", required = true, paramLabel = "F", description = "configuration")
  private Path config = Path.of("");

  @Option(
      names = "--to",
      required = true,
      paramLabel = "PATH",
      description = "the copy, which must not exist; or a folder, then it is named by the time")
  private Path to = Path.of("");

  @Spec private CommandSpec spec = CommandSpec.create();

  /** 0 if the copy is there and whole, 1 otherwise. */
  @Override
  public Integer call() {
    try {
      Path record = ConfigReader.recordFile(config);
      Path target = Files.isDirectory(to) ? to.resolve(name(record)) : to;
      spec.commandLine().getOut().println(VerifyCommand.summary(Backup.make(record, target)));
      return 0;
    } catch (ConfigException | RecordException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return 1;
    }
  }

  private static String name(Path record) {
    return record.getFileName() + "-" + STAMP.format(Instant.now()) + ".db";
  }
}
