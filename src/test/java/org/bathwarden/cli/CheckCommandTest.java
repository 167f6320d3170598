package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.ServerSocket;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import org.bathwarden.line.Item;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.scenario.Scenario;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The configuration is the demo's, on the simulated line of the same name. */
class CheckCommandTest {

  @TempDir private Path folder = Path.of("");
  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  @BeforeEach
  void layOut() throws IOException {
    Files.createDirectories(folder.resolve("chemistry"));
    for (String name : new String[] {"demo.yaml", "chemistry/alkali-a.yaml"}) {
      Files.copy(Path.of("config").resolve(name), folder.resolve(name));
    }
  }

  private int check(String... more) {
    String[] args = new String[more.length + 3];
    args[0] = "check";
    args[1] = "--config";
    args[2] = folder.resolve("demo.yaml").toString();
    System.arraycopy(more, 0, args, 3, more.length);
    return Main.commandLine()
        .setOut(new PrintWriter(out, true))
        .setErr(new PrintWriter(err, true))
        .execute(args);
  }

  private void change(String old, String changed) throws IOException {
    Path file = folder.resolve("demo.yaml");
    String text = Files.readString(file);
    assertTrue(text.contains(old), old);
    Files.writeString(file, text.replace(old, changed));
  }

  private void reach(SimulatedLine line) throws IOException {
    change("port: 1502", "port: " + line.modbusPort());
    change("127.0.0.1:4840", "127.0.0.1:" + URI.create(line.opcUaUrl()).getPort());
  }

  private JsonNode json() throws IOException {
    return new ObjectMapper().readTree(out.toString());
  }

  @Test
  void itSaysWhatEachTankMayDoByItself() {
    assertEquals(0, check(), err.toString());
    String said = out.toString();
    assertTrue(said.contains("degrease-1 (tank 1 of cell-a): mode command"), said);
    // H = (9.7 − 8.0) · 800 / (100 − 9.7) = 15.06 L; 0.25 H, 0.5 H, 1.5 H by the design's defaults.
    assertTrue(said.contains("portion_l=3.765, per_hour_l=7.53, per_8h_l=15.061"), said);
    // 1.5 H at 6 loads an hour × 0.8 L × 8 % = 0.384 L/h, and at twice that.
    assertTrue(said.contains("58.832 at normal use, 29.416 at double use"), said);
    assertEquals("", err.toString());
  }

  @Test
  void asJsonItSaysTheSame() throws IOException {
    change("    number: 1\n", "    number: 1\n    permits: {remote: {constant: true}}\n");
    assertEquals(0, check("--json"), err.toString());
    JsonNode tank = json().get("tanks").get(0);
    assertEquals("degrease-1", tank.get("tank").asText());
    assertEquals("propose", tank.get("mode").asText());
    assertEquals("remote", tank.get("not_wired").get(0).asText());
    assertEquals(58.832, tank.get("hours_of_authority").asDouble(), 1e-9);
    JsonNode water = tank.get("limits").get("water");
    assertTrue(
        water.has("since_titration_l") && water.get("since_titration_l").isNull(), "no limit");
    assertTrue(water.get("portion_l").isNumber());
    assertEquals("warning", json().get("problems").get(0).get("severity").asText());
    assertFalse(tank.has("live"));
  }

  @Test
  void aPermitThatIsNotWiredIsSaid() throws IOException {
    change(
        "    number: 1\n",
        "    number: 1\n    permits: {remote: {constant: true}, circulation: {constant: true, signed_off: lead}}\n");
    assertEquals(0, check(), err.toString());
    assertTrue(
        out.toString()
            .contains("permits not wired: [remote, circulation]; signed off: [circulation]"),
        out.toString());
    assertTrue(out.toString().contains("mode propose"), out.toString());
  }

  @Test
  void everyProblemIsPrintedAndTheCommandFails() throws IOException {
    change("number: 1\n", "number: -1\n");
    change("site: North Yard", "site: North Yard\ncolour: red");
    assertEquals(1, check());
    assertEquals(2, err.toString().lines().count(), err.toString());
    assertTrue(err.toString().contains("demo.yaml:4: colour: found \"red\""), err.toString());
    assertEquals("", out.toString());
    err.getBuffer().setLength(0);
    assertEquals(1, check("--json"));
    assertFalse(json().get("sound").asBoolean());
    assertEquals(2, json().get("problems").size());
  }

  @Test
  void aWrongWaitIsWrongUsage() {
    assertEquals(2, check("--live", "--wait", "soon"));
  }

  @Test
  void liveShowsEveryItemOfEveryTankAndWritesNothing() throws IOException {
    try (Simulation simulation =
        Simulation.open(Scenario.bundled("demo"), 7, SimulatedLine.Options.onLoopback())) {
      reach(simulation.line());
      simulation.runScaled(2);
      int code = check("--live", "--json");
      assertEquals(0, code, out.toString() + err);
      assertEquals(0, simulation.line().wire().writes());
    }
    JsonNode tanks = json().get("tanks");
    assertEquals(3, tanks.size());
    for (JsonNode tank : tanks) {
      JsonNode live = tank.get("live");
      assertEquals("up", live.get("link").asText());
      assertTrue(live.get("wiring_proved").asBoolean());
      Map<String, JsonNode> points = new HashMap<>();
      live.get("points").forEach(point -> points.put(point.get("point").asText(), point));
      for (Item item : Item.values()) {
        assertEquals(
            item.area() == Item.Area.IMAGE, points.containsKey(item.contractName()), item.name());
      }
      JsonNode proof = points.get("check_f32");
      assertEquals(12345.678, proof.get("value").asDouble(), 1e-3);
      assertEquals("good", proof.get("quality").asText());
      assertTrue(proof.get("age_s").asDouble() < 30);
      // 12345.678 as binary32 is 4640 E6B6 (line contract; any IEEE 754 calculator).
      boolean modbus = tank.get("connection").asText().equals("cell-a");
      assertEquals(modbus ? "4640 E6B6" : "", proof.get("registers").asText());
      assertFalse(proof.get("place").asText().isEmpty());
    }
  }

  /** Sources: 123.24 ohm are 60 °C (table of IEC 60751); 3.5 mA is a failure (NAMUR NE 43). */
  @Test
  void liveShowsTheRawNumberTheSignalAndWhatItMeans() throws IOException {
    change(
        "    number: 1\n",
        "    number: 1\n    points: {"
            + "temperature_c: {scale: 1.0e-9, offset: 123.24, input: {pt100: {lead_ohm: 0}}},"
            + " level_l: {scale: 1.0e-9, offset: 3.5, input: {current: {at_4_ma: 0, at_20_ma: 9}}}}\n");
    try (Simulation simulation =
        Simulation.open(Scenario.bundled("demo"), 7, SimulatedLine.Options.onLoopback())) {
      reach(simulation.line());
      simulation.runScaled(2);
      assertEquals(1, check("--live", "--json"), "a level that has failed");
    }
    assertEquals(
        "degrease-1 level_l failure-low", json().get("live").get("bad").get(0).asText(), "only");
    assertEquals(1, json().get("live").get("bad").size());
    Map<String, JsonNode> points = new HashMap<>();
    json()
        .get("tanks")
        .get(0)
        .get("live")
        .get("points")
        .forEach(point -> points.put(point.get("point").asText(), point));
    JsonNode temperature = points.get("temperature_c");
    assertTrue(temperature.get("raw").isNumber());
    assertEquals("123.240 ohm", temperature.get("signal").asText());
    assertEquals(60, temperature.get("value").asDouble(), 0.0135);
    assertEquals("good", temperature.get("quality").asText());
    JsonNode level = points.get("level_l");
    assertTrue(level.get("raw").asDouble() > 100, "litres of the simulated tank");
    assertEquals("3.500 mA", level.get("signal").asText());
    assertEquals("none", level.get("value").asText());
    assertEquals("bad (failure-low)", level.get("quality").asText());
    assertEquals("", points.get("conductivity_ms_cm").get("signal").asText());
  }

  private String live(int code) throws IOException {
    try (Simulation simulation =
        Simulation.open(Scenario.bundled("demo"), 7, SimulatedLine.Options.onLoopback())) {
      reach(simulation.line());
      simulation.runScaled(2);
      assertEquals(code, check("--live"), out.toString());
    }
    return out.toString();
  }

  private static String row(String table, String point) {
    return table
        .lines()
        .map(String::strip)
        .filter(line -> line.startsWith(point + " "))
        .findFirst()
        .orElseThrow(() -> new AssertionError(table));
  }

  @Test
  void theTableIsReadable() throws IOException {
    String table = live(0);
    assertTrue(table.contains("ready: wiring of 3 of 3 tanks proved, 0 points bad"), table);
    // 16909060 is the contract's check_u32, 12345.678 its check_f32 (line contract).
    assertTrue(row(table, "check_u32").matches("check_u32 +16909060 +good .*"), table);
    assertTrue(row(table, "check_f32").matches("check_f32 +12345\\.68 +good .*"), table);
    assertTrue(row(table, "check_f32").endsWith("unit 1 input register 39 f32"), table);
    assertTrue(row(table, "level_l").matches("level_l +[0-9]{3}\\.[0-9] L +good .*"), table);
    assertTrue(row(table, "temperature_c").matches("temperature_c +[0-9.]{5} °C +good .*"), table);
    assertTrue(row(table, "permits").endsWith("; all given"), table);
    assertTrue(row(table, "faults").endsWith("; none"), table);
    assertTrue(row(table, "order_state").endsWith("; none yet"), table);
  }

  /** Register 9100 of the simulated line does not exist. */
  @Test
  void aPointThatIsNotThereIsCountedAndTheCommandFails() throws IOException {
    change("    number: 1\n", "    number: 1\n    points: {ph: {register: 9100}}\n");
    String table = live(1);
    assertTrue(row(table, "ph").contains("bad (item-missing)"), table);
    assertTrue(table.contains("1 point bad (degrease-1 ph item-missing)"), table);
    assertTrue(table.contains("not ready: wiring of 3 of 3"), table);
  }

  /** The conductivity's registers as a 16 bit number are some ten thousands. */
  @Test
  void nonsenseIsOutOfRangeAndTheCommandFails() throws IOException {
    change("    number: 1\n", "    number: 1\n    points: {conductivity_ms_cm: {type: u16}}\n");
    String table = live(1);
    assertTrue(row(table, "conductivity_ms_cm").contains("bad (out-of-range)"), table);
    assertTrue(table.contains("1 point bad (degrease-1 conductivity_ms_cm out-of-range)"), table);
  }

  /** What an address reads at which nothing lies. */
  @Test
  void aMeasurementOfNothingIsDoubtful() throws IOException {
    change("    number: 1\n", "    number: 1\n    points: {conductivity_ms_cm: {scale: 1.0e-9}}\n");
    String table = live(0);
    assertTrue(table.contains("1 point doubtful (degrease-1 conductivity_ms_cm reads 0)"), table);
    assertTrue(table.contains("advice: conductivity_ms_cm reads 0: does it lie at unit 1"), table);
  }

  @Test
  void anUnknownHostIsSaidOnceAndNoRowsOfIt() throws IOException {
    change("host: 127.0.0.1", "host: plc.harbour.invalid");
    change("127.0.0.1:4840", "127.0.0.1:1");
    assertEquals(1, check("--live", "--wait", "100ms"), out.toString());
    assertTrue(out.toString().contains("plc.harbour.invalid:1502: no such host is known"));
    assertFalse(out.toString().contains("level_l"), out.toString());
    assertTrue(out.toString().contains("not ready: wiring of 0 of 3 tanks proved"));
  }

  @Test
  void aWrongWordOrderIsNotProvedAndThereIsAdvice() throws IOException {
    change("    number: 1\n", "    number: 1\n    points: {check_f32: {word_order: low-first}}\n");
    try (Simulation simulation =
        Simulation.open(Scenario.bundled("demo"), 7, SimulatedLine.Options.onLoopback())) {
      reach(simulation.line());
      simulation.runScaled(2);
      assertEquals(1, check("--live"), out.toString());
    }
    assertTrue(out.toString().contains("link up; wiring proved: false"), out.toString());
    assertTrue(out.toString().contains("link up; wiring proved: true"), out.toString());
    assertTrue(
        out.toString()
            .contains(
                "advice: check_f32 would read right with {register: 39, word_order: high-first}"
                    + " (now register: 39, word_order: low-first)"),
        out.toString());
  }

  @Test
  void aPlcThatStandsStillIsNotProved() throws IOException {
    try (Simulation simulation =
        Simulation.open(Scenario.bundled("demo"), 7, SimulatedLine.Options.onLoopback())) {
      reach(simulation.line());
      assertEquals(1, check("--live"), out.toString());
    }
    assertTrue(out.toString().contains("advice: plc_heartbeat stands still"), out.toString());
  }

  @Test
  void aLineThatIsDownIsSaidAndTheCommandFails() throws IOException {
    int free;
    try (ServerSocket socket = new ServerSocket(0)) {
      free = socket.getLocalPort();
    }
    change("port: 1502", "port: " + free);
    change("127.0.0.1:4840", "127.0.0.1:" + free);
    assertEquals(1, check("--live", "--wait", "300ms"), out.toString());
    assertTrue(out.toString().contains("link down: "), out.toString());
  }
}
