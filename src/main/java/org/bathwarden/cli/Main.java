package org.bathwarden.cli;

import java.util.Optional;
import org.slf4j.bridge.SLF4JBridgeHandler;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.IVersionProvider;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** The top command. It does nothing alone: without a subcommand it prints its usage and fails. */
@Command(
    name = "bathwarden",
    description =
        "Looks after heated alkaline wash tanks: estimates, doses within interlocks, alarms.",
    mixinStandardHelpOptions = true,
    versionProvider = Main.JarVersion.class,
    subcommands = {
      DemoCommand.class,
      RunCommand.class,
      CheckCommand.class,
      OrdersCommand.class,
      TopupCommand.class,
      TitrationCommand.class,
      MatrixCommand.class,
      ReplayCommand.class,
      RehearseCommand.class,
      SimulateCommand.class
    })
public final class Main implements Runnable {

  @Spec private CommandSpec spec;

  private Main() {}

  /**
   * Runs one command and ends the process with its exit code: 0 done, 1 failed, 2 wrong usage.
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
    return new CommandLine(new Main()).setCaseInsensitiveEnumValuesAllowed(true);
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
