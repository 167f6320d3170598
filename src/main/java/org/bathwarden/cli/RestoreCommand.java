package org.bathwarden.cli;

import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.record.Backup;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.Verification;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Puts a backup in the place of a record that is gone. */
@Command(
    name = "restore",
    mixinStandardHelpOptions = true,
    description =
        "Puts a backup where the record of a configuration is expected; the service must not run,"
            + " and nothing is overwritten. Where the line has moved on since the backup, the next"
            + " start says so and doses nothing until an engineer has resynchronised.")
final class RestoreCommand implements Callable<Integer> {

  @Option(names = "--config", required = true, paramLabel = "F", description = "configuration")
  private Path config = Path.of("");

  @Option(names = "--from", required = true, paramLabel = "F", description = "the backup")
  private Path from = Path.of("");

  @Spec private CommandSpec spec = CommandSpec.create();

  /** 0 if the record is in its place, 1 otherwise. */
  @Override
  public Integer call() {
    try {
      Path record = ConfigReader.recordFile(config);
      Verification found = Backup.restore(from, record);
      spec.commandLine()
          .getOut()
          .println(record + " restored from " + VerifyCommand.summary(found));
      return 0;
    } catch (ConfigException | RecordException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return 1;
    }
  }
}
