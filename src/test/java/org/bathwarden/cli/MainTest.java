package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

class MainTest {

  @TempDir private Path folder = Path.of("");
  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  @Test
  void helpAndVersionSucceedOnStandardOutput() {
    assertEquals(0, run("--help"));
    assertTrue(out.toString().startsWith("Usage: bathwarden"), out.toString());
    assertEquals(0, run("--version"));
    assertEquals("", err.toString());
  }

  @Test
  void nothingToDoAndUnknownWordsAreWrongUsage() {
    assertEquals(CommandLine.ExitCode.USAGE, run());
    assertTrue(err.toString().contains("Missing a command"), err.toString());
    assertEquals(CommandLine.ExitCode.USAGE, run("--no-such-option"));
    assertEquals(CommandLine.ExitCode.USAGE, run("no-such-command"));
    assertEquals("", out.toString());
  }

  @Test
  void theHelpListsTheExitCodes() {
    run("--help");
    for (String code : new String[] {"0", "1", "2", "78", "130", "143"}) {
      assertTrue(
          out.toString().lines().anyMatch(line -> line.strip().startsWith(code + " ")), code);
    }
  }

  @Test
  void aServiceWhoseConfigurationIsRefusedIsNotToBeStartedAgain() {
    assertEquals(78, run("run", "--config", folder.resolve("none.yaml").toString()));
    assertTrue(err.toString().contains("no readable file"), err.toString());
  }

  @Test
  void aServiceWithoutTheFolderOfItsRecordIsNotToBeStartedAgain() throws IOException {
    Files.createDirectories(folder.resolve("chemistry"));
    Files.copy(
        Path.of("config/chemistry/alkali-a.yaml"), folder.resolve("chemistry/alkali-a.yaml"));
    Path config = folder.resolve("demo.yaml");
    Files.writeString(
        config,
        Files.readString(Path.of("config/demo.yaml")).replace("demo.db", "nowhere/demo.db"));
    assertEquals(78, run("run", "--config", config.toString()));
    assertTrue(
        err.toString().contains("record.file: there is no folder " + folder.resolve("nowhere")),
        err.toString());
    assertTrue(Files.notExists(folder.resolve("nowhere")));
  }

  @Test
  void aMatrixInNoKnownFormatIsWrongUsage() {
    assertEquals(CommandLine.ExitCode.USAGE, run("matrix", "--format", "xls"));
    assertTrue(err.toString().contains("found xls; allowed is md or csv"), err.toString());
    assertTrue(!err.toString().contains("Exception"), err.toString());
    assertEquals(0, run("matrix", "--format", "CSV"));
  }

  @Test
  void aDecimalCommaIsAnsweredWithThePoint() {
    assertEquals(CommandLine.ExitCode.USAGE, run("titration", "--drops", "16,5"));
    assertTrue(
        err.toString().contains("found 16,5; write a number with a point, as 16.5"),
        err.toString());
  }

  /** Every enum option of every command, found in the commands themselves. */
  @Test
  void aWordThatAnOptionDoesNotKnowIsAnsweredWithTheWordsItKnows() {
    int enums = 0;
    for (CommandLine command : Main.commandLine().getSubcommands().values()) {
      for (CommandLine.Model.OptionSpec option : command.getCommandSpec().options()) {
        if (option.auxiliaryTypes()[0].isEnum()) {
          enums++;
          err.getBuffer().setLength(0);
          String name = option.longestName();
          assertEquals(
              CommandLine.ExitCode.USAGE, run(command.getCommandName(), name, "banana"), name);
          String first = err.toString().lines().findFirst().orElse("");
          assertTrue(first.contains("'" + name + "': found banana; allowed is "), first);
          String allowed = first.substring(first.indexOf("allowed is"));
          for (Object constant : option.auxiliaryTypes()[0].getEnumConstants()) {
            String word = constant.toString().toLowerCase(Locale.ROOT).replace('_', '-');
            assertTrue(allowed.contains(word), first);
          }
        }
      }
    }
    assertEquals(
        7,
        enums,
        "demo --mode, matrix --format, procedure --begin and --role, prove --result and --product,"
            + " titration --factor-from");
    assertTrue(!err.toString().contains("Exception"), err.toString());
  }

  @Test
  void wrongUsageIsToldInAFewLinesThatDoNotScrollAway() {
    for (String command : Main.commandLine().getSubcommands().keySet()) {
      err.getBuffer().setLength(0);
      assertEquals(CommandLine.ExitCode.USAGE, run(command, "--no-such-option"), command);
      assertTrue(err.toString().lines().count() <= 4, err.toString());
      assertTrue(err.toString().contains("bathwarden " + command + " --help"), err.toString());
    }
    err.getBuffer().setLength(0);
    run("topup", "--volume", "800");
    assertTrue(err.toString().startsWith("Missing required options: '--concen"), err.toString());
    assertEquals(2, err.toString().lines().count(), err.toString());
    run("topu");
    assertTrue(err.toString().contains("Did you mean: bathwarden topup"), err.toString());
  }

  @Test
  void delaysOfTheMatrixAreNumbersInJson() throws IOException {
    assertEquals(0, run("matrix", "--json"));
    JsonNode row = new ObjectMapper().readTree(out.toString()).get(0).get("rows").get(0);
    assertTrue(row.get("on_delay_s").isIntegralNumber(), row.toString());
    assertTrue(row.get("off_delay_s").isIntegralNumber(), row.toString());
    assertTrue(row.get("cause").isTextual(), row.toString());
  }

  @Test
  void aScenarioThatIsNotThereIsAnsweredWithTheNames() {
    assertEquals(1, run("simulate", "--scenario", "two-tanks"));
    assertTrue(err.toString().contains("bundled are closed-loop, demo,"), err.toString());
    run("simulate", "--help");
    String help = out.toString().replaceAll("\\s+", " ");
    assertTrue(help.contains("quiet-week, rehearsal, ten-tanks"), help);
    assertTrue(help.contains("security: none"), help);
  }

  @Test
  void aRehearsalWithoutALineEndsEarly() throws IOException {
    int free;
    try (ServerSocket socket = new ServerSocket(0)) {
      free = socket.getLocalPort();
    }
    Files.createDirectories(folder.resolve("chemistry"));
    for (String name : new String[] {"rehearsal-modbus.yaml", "chemistry/alkali-a.yaml"}) {
      Files.copy(Path.of("config").resolve(name), folder.resolve(name));
    }
    int code =
        run(
            "rehearse",
            "--config",
            folder.resolve("rehearsal-modbus.yaml").toString(),
            "--speed",
            "10",
            "--for",
            "30d",
            "--wait",
            "1s",
            "--line",
            "127.0.0.1:" + free);
    assertEquals(1, code);
    assertTrue(
        err.toString().contains("no tank could be read within 1s: cell-a at 127.0.0.1:" + free),
        err.toString());
  }

  private int run(String... args) {
    return Main.commandLine()
        .setOut(new PrintWriter(out, true))
        .setErr(new PrintWriter(err, true))
        .execute(args);
  }
}
