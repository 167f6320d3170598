package org.bathwarden.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.dosing.Matrix;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.slf4j.bridge.SLF4JBridgeHandler;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.IVersionProvider;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.ParseResult;
import picocli.CommandLine.Spec;

/** The top command. It does nothing alone: without a subcommand it says so and fails. */
@Command(
    name = "bathwarden",
    description =
        "Looks after heated alkaline wash tanks: estimates, doses within interlocks, alarms.",
    mixinStandardHelpOptions = true,
    exitCodeListHeading = "%nExit codes:%n",
    exitCodeList = {
      "0:done; of a check: nothing wrong",
      "1:failed, or something is wrong; it was said",
      "2:wrong usage",
      "78:run only: the configuration was refused, so that to start again is no use",
      "130:stopped by SIGINT (Ctrl-C), in good order",
      "143:stopped by SIGTERM, in good order"
    },
    versionProvider = Main.JarVersion.class,
    subcommands = {
      DemoCommand.class,
      RunCommand.class,
      CheckCommand.class,
      BrowseCommand.class,
      ProveCommand.class,
      ProcedureCommand.class,
      OrdersCommand.class,
      BackupCommand.class,
      VerifyCommand.class,
      RestoreCommand.class,
      AlarmsCommand.class,
      TopupCommand.class,
      TitrationCommand.class,
      ReplayCommand.class,
      RehearseCommand.class,
      SimulateCommand.class
    })
public final class Main implements Runnable {

  private static final Logger LOG = LoggerFactory.getLogger(Main.class);

  @Spec private CommandSpec spec;

  private Main() {}

  /**
   * Runs one command and ends the process with its exit code, as {@code --help} lists them.
   *
   * @param args the command line
   */
  public static void main(String[] args) {
    // Libraries that log through java.util.logging would print to the console past logback.
    SLF4JBridgeHandler.removeHandlersForRootLogger();
    SLF4JBridgeHandler.install();
    System.exit(commandLine().execute(args));
  }

  static CommandLine commandLine() {
    return UsageWords.on(
        new CommandLine(new Main())
            .addSubcommand(new MatrixCommand(Main::matrix))
            .setExecutionExceptionHandler(Main::failed));
  }

  private static List<Matrix.Tank> matrix(Path config) {
    try {
      return ConfigReader.read(config, System.getenv()).tanks().stream()
          .map(
              tank ->
                  new Matrix.Tank(
                      tank.id().name(), tank.sheet().dosing().table(), tank.items().unwired()))
          .toList();
    } catch (ConfigException e) {
      throw new IllegalArgumentException(e.getMessage(), e);
    }
  }

  /** What went wrong, in words; the stack goes to the log. */
  private static int failed(Exception e, CommandLine command, ParseResult parsed) {
    LOG.debug("command failed", e);
    String message = e.getMessage();
    command.getErr().println(message == null ? e.toString() : message);
    return 1;
  }

  @Override
  public void run() {
    throw new ParameterException(spec.commandLine(), "Missing a command.");
  }

  /** The version that the build wrote into the jar's manifest. */
  static final class JarVersion implements IVersionProvider {
    @Override
    public String[] getVersion() {
      String version =
          Optional.ofNullable(Main.class.getPackage().getImplementationVersion())
              .orElse("(not run from its jar)");
      return new String[] {"bathwarden " + version};
    }
  }
}
