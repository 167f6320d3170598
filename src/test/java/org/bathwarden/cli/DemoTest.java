package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** The demo closes the loop over real sockets, and can fail. */
class DemoTest {

  @TempDir Path folder;
  private final StringWriter said = new StringWriter();

  private int run(String mode) {
    CommandLine command = new CommandLine(new DemoCommand());
    command.setOut(new PrintWriter(said, true));
    command.setErr(new PrintWriter(said, true));
    return command.execute(
        "--for",
        "1s",
        "--seed",
        "7",
        "--mode",
        mode,
        "--summary",
        folder.resolve("summary.json").toString());
  }

  @Test
  void inCommandModeEveryTankComesIntoBandAndStays() throws IOException {
    assertEquals(0, run("COMMAND"), said::toString);
    assertTrue(Files.readString(folder.resolve("summary.json")).contains("\"ok\""));
  }

  @Test
  void withAllTanksOffTheSameSeedFails() throws IOException {
    assertNotEquals(0, run("OFF"), said::toString);
    assertTrue(Files.size(folder.resolve("summary.json")) > 0);
  }
}
