package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.PrintWriter;
import java.io.StringWriter;
import org.junit.jupiter.api.Test;
import picocli.CommandLine;

class MainTest {

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

  private int run(String... args) {
    return Main.commandLine()
        .setOut(new PrintWriter(out, true))
        .setErr(new PrintWriter(err, true))
        .execute(args);
  }
}
