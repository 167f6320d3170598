package org.bathwarden.simulator.scenario;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.bathwarden.simulator.physics.FaultKind;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Scenario files: those that ship, and what a wrong one gets. */
class ScenarioTest {

  static final Path SHIPPED = Path.of("simulator", "scenarios");

  @TempDir Path folder;

  @ParameterizedTest
  @ValueSource(
      strings = {"demo", "one-tank", "quiet-week", "heavy-loads", "faults-tour", "ten-tanks"})
  void everyShippedScenarioReads(String name) {
    Scenario scenario = Scenario.read(SHIPPED.resolve(name + ".yaml"));
    assertEquals(name, scenario.name());
    assertEquals(scenario.tanks().size(), new ShopFloor(scenario, scenario.seed()).tanks());
  }

  @Test
  void scenariosShipInTheJar() {
    assertEquals(Scenario.read(SHIPPED.resolve("demo.yaml")), Scenario.bundled("demo"));
  }

  @Test
  void theTourVisitsEveryFault() {
    Set<FaultKind> unvisited = EnumSet.allOf(FaultKind.class);
    Scenario.read(SHIPPED.resolve("faults-tour.yaml"))
        .timeline()
        .forEach(entry -> entry.asFault().ifPresent(f -> unvisited.remove(f.kind())));
    assertEquals(Set.of(), unvisited);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      value = {
        // find | put in its place | key | what is said
        "noise: 1} | noise: 1, nois: 2} | unknowns.nois: | unknown key, allowed are",
        "litres: 200 | litres: lots | drums.drum-1.litres: | Cannot deserialize value of type `double`",
        "surface_m2: 1.0 | surface_m2: -1 | tank_types.immersion.geometry: | surface_m2 is -1.0, allowed is 0.05 to 100.0",
        "surface_m2: 1.0 | surface_m2: .nan | tank_types.immersion.geometry.surface_m2: | Malformed numeric value",
        "max_l: 900 | max_l: 700 | tank_types.immersion.geometry: | max_l is 700.0, allowed is 800.0 to",
        "circulation_l_per_h: 16000 | circulation: 16000 | tank_types.immersion.circulation_l_per_h: | is missing or empty",
        "oil_skim_per_h: 0.05 | | tank_types.immersion.oil_skim_per_h: | is missing or empty",
        "drum: drum-1 | drum: drum-9 | .yaml: | tanks[0].drum: \"drum-9\" is not known, there are [drum-1]",
        "end_point: free | end_point: sour | tanks[0].end_point: | not one of the values accepted",
        "level: surface | level: surface%n    level: surface | tank_types | Duplicate field 'level'",
        "charge: {target | charg: {target | tanks[0]: | charge is missing",
        "seed: 11 | seed: 11%ntimeline: [{at: PT1M, tank: 2, fault: leak}] | .yaml: | timeline[0].tank: 2, allowed is 1 to 1",
        "seed: 11 | seed: 11%ntimeline: [{at: PT1M, tank: 1, fault: lek}] | timeline[0]: | fault \"lek\" is not known, allowed are level-stuck",
        "seed: 11 | seed: 11%ntimeline: [{at: PT1M, tank: 1}] | timeline[0]: | needs either a fault or a deed",
        "seed: 11 | seed: 11%ntimeline: [{tank: 1, fault: leak}] | timeline[0]: | at must be a duration",
        "seed: 11 | seed: 11%ntimeline: [{at: PT1M, tank: 1, deed: drain, for: PT1M}] | timeline[0]: | no for",
        "name: one-tank | | .yaml: | name is missing",
      })
  void aWrongFileIsRefusedWithItsPlace(String find, String put, String place, String said)
      throws IOException {
    String right = Files.readString(SHIPPED.resolve("one-tank.yaml"));
    assertTrue(right.contains(find), "the file has no " + find);
    String wrong = right.replace(find, put == null ? "" : put.formatted());
    Path file = Files.writeString(folder.resolve("wrong.yaml"), wrong);
    String message = assertThrows(ScenarioException.class, () -> Scenario.read(file)).getMessage();
    assertTrue(message.startsWith(file.toString()), message);
    assertTrue(message.matches("(?s).*wrong\\.yaml:\\d+:\\d+: .*"), message);
    assertTrue(message.contains(place), message);
    assertTrue(message.contains(said), message);
  }

  @Test
  void anUnknownKeyIsFoundOnItsLine() throws IOException {
    List<String> lines = Files.readAllLines(SHIPPED.resolve("one-tank.yaml"));
    int line = 0;
    while (!lines.get(line).contains("heater_kw")) {
      line++;
    }
    String wrong = String.join("\n", lines).replace("heater_kw", "heater_w: 1, heater_kw");
    Path file = Files.writeString(folder.resolve("wrong.yaml"), wrong);
    String message = assertThrows(ScenarioException.class, () -> Scenario.read(file)).getMessage();
    assertTrue(message.contains("wrong.yaml:" + (line + 1) + ":"), message);
    assertTrue(message.contains("tank_types.immersion.heating.heater_w: unknown key"), message);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "just a text", "[1, 2]", "tanks: [", "\u0000\u0001garbage"})
  void garbageIsRefused(String text) throws IOException {
    Path file = Files.writeString(folder.resolve("garbage.yaml"), text);
    String message = assertThrows(ScenarioException.class, () -> Scenario.read(file)).getMessage();
    assertTrue(message.startsWith(file.toString()), message);
  }

  @Test
  void aMissingFileIsNamed() {
    Path none = folder.resolve("none.yaml");
    String message = assertThrows(ScenarioException.class, () -> Scenario.read(none)).getMessage();
    assertTrue(message.contains("none.yaml"), message);
    assertThrows(ScenarioException.class, () -> Scenario.bundled("none"));
  }

  @Test
  void everyFaultAndDeedHasANameOfItsOwn() {
    assertEquals(
        FaultKind.values().length,
        Arrays.stream(FaultKind.values()).map(FaultKind::code).distinct().count());
    for (Deed deed : Deed.values()) {
      assertEquals(deed, Deed.byCode(deed.code()).orElseThrow());
    }
  }

  @Test
  void everyScenarioThatShipsIsNamed() throws IOException {
    try (Stream<Path> files = Files.list(Path.of("simulator/scenarios"))) {
      assertEquals(
          Scenario.BUNDLED,
          files
              .map(file -> String.valueOf(file.getFileName()).replace(".yaml", ""))
              .sorted()
              .toList());
    }
    Scenario.BUNDLED.forEach(name -> assertEquals(name, Scenario.bundled(name).name()));
  }
}
