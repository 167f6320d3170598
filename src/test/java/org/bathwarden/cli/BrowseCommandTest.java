package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.line.Item;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.scenario.Scenario;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The nodes of the simulated PLC, found by walking its server. */
class BrowseCommandTest {

  @TempDir private Path folder = Path.of("");

  private Path config(String url) throws Exception {
    Files.createDirectories(folder.resolve("chemistry"));
    Files.copy(
        Path.of("config/chemistry/alkali-a.yaml"), folder.resolve("chemistry/alkali-a.yaml"));
    String text = Files.readString(Path.of("config/rehearsal-opcua.yaml"));
    return Files.writeString(
        folder.resolve("yard.yaml"), text.replaceAll("opc.tcp://[^\\s\",}]+", url));
  }

  private static CommissionedLine.Said browse(Path config, String... more) {
    List<String> args = new ArrayList<>(List.of("browse", "--config", config.toString()));
    args.addAll(List.of(more));
    return CommissionedLine.run(args.toArray(String[]::new));
  }

  @Test
  void everyItemOfTheContractIsFoundWithItsType() throws Exception {
    try (Simulation plant =
        Simulation.open(Scenario.bundled("rehearsal"), 1, SimulatedLine.Options.onLoopback())) {
      Path config = config(plant.line().opcUaUrl());
      CommissionedLine.Said said = browse(config, "--json");
      assertEquals(0, said.code(), said.err());
      JsonNode all = new ObjectMapper().readTree(said.out());
      for (Item item : Item.values()) {
        JsonNode node = find(all, "s=Line.Tank1." + item.contractName());
        assertEquals("urn:bathwarden:line", node.get("namespace").asText());
        assertEquals(
            item.type().name().toLowerCase(java.util.Locale.ROOT), node.get("type").asText());
      }
      assertEquals("16909060", find(all, "s=Line.Tank2.check_u32").get("value").asText());
      assertTrue(find(all, "s=Line.Tank1.ph").get("path").asText().endsWith("/ph"));
      assertEquals("false", all.get("cut").asText());

      CommissionedLine.Said few = browse(config, "--most", "5");
      assertTrue(few.out().contains("5 nodes; there are more"), few.out());
      assertEquals(2, browse(config, "--depth", "0").code());
    }
  }

  private static JsonNode find(JsonNode all, String id) {
    for (JsonNode node : all.get("nodes")) {
      if (node.get("node").asText().equals(id)) {
        return node;
      }
    }
    throw new AssertionError("no node " + id);
  }

  @Test
  void aServerThatIsNotThereIsSaidSo() throws Exception {
    CommissionedLine.Said said = browse(config("opc.tcp://127.0.0.1:1"), "--wait", "5s");
    assertEquals(1, said.code());
    assertTrue(said.err().contains("cannot connect to opc.tcp://127.0.0.1:1"), said.err());
  }
}
