package org.bathwarden.cli;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

/** The one file that is delivered starts by itself. */
class JarIT {

  @Test
  void theJarTellsItsVersion() throws Exception {
    Run run = run("--version");
    assertEquals(0, run.exitCode());
    assertTrue(run.output().matches("bathwarden \\d+\\.\\d+\\.\\d+\\S*\\R"), run.output());
  }

  @Test
  void wrongUsageEndsTheProcessWithItsCode() throws Exception {
    assertEquals(2, run().exitCode());
  }

  private record Run(int exitCode, String output) {}

  private static Run run(String... args) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(List.of("-jar", System.getProperty("bathwarden.jar")));
    command.addAll(List.of(args));
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String output = new String(process.getInputStream().readAllBytes(), UTF_8);
    assertTrue(process.waitFor(30, TimeUnit.SECONDS), "still running");
    return new Run(process.exitValue(), output);
  }
}
