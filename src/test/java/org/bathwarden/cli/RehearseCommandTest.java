package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.bathwarden.line.Await;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.scenario.Scenario;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A rehearsal with the configuration and the titrations that ship, over OPC UA. */
class RehearseCommandTest {

  @TempDir private Path folder = Path.of("");
  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  private int rehearse(int port) {
    return Main.commandLine()
        .setOut(new PrintWriter(out, true))
        .setErr(new PrintWriter(err, true))
        .execute(
            "rehearse",
            "--config",
            folder.resolve("rehearsal-opcua.yaml").toString(),
            "--speed",
            "15",
            "--for",
            "200s",
            "--wait",
            "60s",
            "--line",
            "127.0.0.1:" + port,
            "--titrations",
            folder.resolve("rehearsal-titrations.csv").toString());
  }

  private static int freePort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }

  @Test
  void itsTimeBeginsOnceTheLineIsReached() throws Exception {
    Files.createDirectories(folder.resolve("chemistry"));
    for (String name :
        new String[] {
          "rehearsal-opcua.yaml", "rehearsal-titrations.csv", "chemistry/alkali-a.yaml"
        }) {
      Files.copy(Path.of("config").resolve(name), folder.resolve(name));
    }
    Path titrations = folder.resolve("rehearsal-titrations.csv");
    Files.writeString(titrations, "1,rehearsal-1,13,drops\n" + Files.readString(titrations));
    int port = freePort();
    CompletableFuture<Integer> code = CompletableFuture.supplyAsync(() -> rehearse(port));
    Await.until(() -> out.toString().contains("line-cell-a  Line connection lost"));
    assertFalse(out.toString().contains("titration by rehearsal taken"), out.toString());
    Scenario scenario = Scenario.bundled("rehearsal");
    SimulatedLine.Options options =
        new SimulatedLine.Options(
            Optional.of(0),
            Optional.empty(),
            Optional.of(port),
            InetAddress.getLoopbackAddress(),
            Optional.empty());
    try (Simulation simulation = Simulation.open(scenario, scenario.seed(), options)) {
      simulation.runScaled(15);
      assertEquals(0, code.get(120, TimeUnit.SECONDS), out + "" + err);
    }
    for (String tank : new String[] {"rehearsal-1", "rehearsal-2"}) {
      assertTrue(
          out.toString()
              .lines()
              .anyMatch(
                  line -> line.contains(tank + "  titration ") && line.endsWith(": accepted")),
          out.toString());
    }
  }
}
