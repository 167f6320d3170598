package org.bathwarden.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.dosing.ProofItem;
import org.bathwarden.line.Item;
import org.bathwarden.line.Place;
import org.bathwarden.line.pulse.PulseSettings;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Tanks with two coils in place of a PLC program: what is taken, what is refused. */
class PulseConfigurationTest {

  @TempDir private Path folder = Path.of("");
  private ConfigFiles yard = new ConfigFiles(folder);

  @BeforeEach
  void layOut() {
    yard = new ConfigFiles(folder);
    yard.write("chemistry/alkali-a.yaml", shipped("chemistry/alkali-a.yaml"));
  }

  private static String shipped(String name) {
    return ConfigFiles.read(ConfigFiles.SHIPPED.resolve(name));
  }

  private List<Problem> problems(String sound, String other) {
    String text = shipped("example-pulse.yaml");
    assertTrue(text.contains(sound), sound);
    Path file = yard.write("pulse.yaml", text.replace(sound, other));
    try {
      ConfigReader.read(file, Map.of());
    } catch (ConfigException e) {
      return e.problems();
    }
    throw new AssertionError("taken with " + other);
  }

  private Configuration.Tank tank() throws Exception {
    Path file =
        yard.write(
            "pulse.yaml", shipped("example-pulse.yaml").replace("mode: propose", "mode: command"));
    return ConfigReader.read(file, Map.of()).tanks().get(0);
  }

  @Test
  void theExampleGivesCoilsWithTheirCalibratedRates() throws Exception {
    Configuration.Tank tank = tank();
    assertEquals(
        Optional.of(
            new PulseSettings(
                1,
                new PulseSettings.Output(1, 0, 25),
                new PulseSettings.Output(1, 1, 20_000 / 60.0),
                Duration.ofSeconds(5))),
        tank.pulse());
    assertInstanceOf(Place.Own.class, tank.items().mapping(Item.ORDER_COMMIT).place());
    assertInstanceOf(Place.Own.class, tank.items().mapping(Item.CONCENTRATE_TOTAL_ML).place());
    // 1.5 L/min for 5 s.
    assertEquals(125, tank.sheet().dosing().deliveries().get(Product.CONCENTRATE).unseenMl(), 1e-9);
  }

  @Test
  void itCommandsOnlyAfterTheWatchdogWasProved() throws Exception {
    Configuration.Tank tank = tank();
    assertEquals(Mode.COMMAND, tank.sheet().dosing().mode());
    assertTrue(
        tank.sheet().dosing().proofs().items().stream()
            .filter(ProofItem::needed)
            .anyMatch(item -> item.key().equals("watchdog")),
        tank.sheet().dosing().proofs().items().toString());
  }

  @Test
  void otherCoilsOrAnotherWatchdogVoidTheProofs() throws Exception {
    List<String> basis = watchdog(tank());
    assertTrue(
        basis.toString().contains("pump coil 0, valve coil 1, watchdog 5000 ms"), basis + "");
    Path file =
        yard.write(
            "pulse.yaml", shipped("example-pulse.yaml").replace("watchdog: 5s", "watchdog: 4s"));
    assertNotEquals(basis, watchdog(ConfigReader.read(file, Map.of()).tanks().get(0)));
  }

  private static List<String> watchdog(Configuration.Tank tank) {
    return tank.sheet().dosing().proofs().items().stream()
        .filter(item -> item.key().equals("watchdog"))
        .findFirst()
        .orElseThrow()
        .basis();
  }

  @ParameterizedTest(name = "{1}")
  @CsvSource(
      delimiter = '|',
      value = {
        "pump_coil: 0 | pump_coil: 1 | pulse | one coil",
        "watchdog: 5s | watchdog: 6s | pulse | at most 5 s",
        "watchdog: 5s | watchdog: 0s | pulse | above 0",
        "'      pump_coil: 0 ' | '      #' | pulse.pump_coil | is needed here",
        "'      remote: {register: 0, function: 2}' | '      #' | permits.remote | signed_off",
        "'      level_l: ' | '      loads_total: ' | points.level_l | is needed here",
        "'      level_l: ' | 'XX' | points.contract_version | the controller keeps it",
        "'ml_per_pulse: 10, metered: false' | 'ml_per_pulse: 10' | pulse | metered: false",
        "'ml_per_pulse: 100, metered: false' | 'ml_per_pulse: 100' | pulse | water_total_ml",
        "'function: 2}' | 'function: 5}' | permits | one of"
      })
  void whatCannotBeMeantIsRefused(String sound, String other, String path, String allowed) {
    String wrong =
        other.equals("XX") ? "      contract_version: {register: 9}\n      level_l: " : other;
    List<Problem> problems = problems(sound, wrong);
    assertTrue(
        problems.stream().anyMatch(p -> p.path().contains(path) && p.toString().contains(allowed)),
        problems.toString());
  }

  @Test
  void overOpcUaThereAreNoCoils() {
    yard.opcUa("security: none").tank("pulse: {pump_coil: 0, valve_coil: 1}");
    assertTrue(
        yard.refused().stream().anyMatch(p -> p.toString().contains("only Modbus has it")),
        yard.refused().toString());
  }
}
