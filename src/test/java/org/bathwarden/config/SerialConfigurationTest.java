package org.bathwarden.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Connections over a serial line: what is taken, what is refused and what to do then. */
class SerialConfigurationTest {

  @TempDir private Path folder = Path.of("");
  private ConfigFiles yard = new ConfigFiles(folder);

  @BeforeEach
  void layOut() {
    yard = new ConfigFiles(folder);
  }

  private static void says(Problem problem, String... allowed) {
    for (String words : allowed) {
      assertTrue(problem.toString().contains(words), problem.toString());
    }
  }

  @Test
  void aPortWithItsDefaultsIsTaken() throws Exception {
    yard.serial();
    assertEquals(
        "/dev/ttyUSB0 (19200 baud, 8E1)", yard.configuration().lines().get(0).protocol().address());
  }

  @ParameterizedTest(name = "{0}")
  @CsvSource(
      delimiter = '|',
      value = {
        "baud: 9601 | baud | one of 1200",
        "data_bits: 7 | data_bits | 8",
        "parity: mark | parity | even, odd, none",
        "stop_bits: 3 | stop_bits | 1, 2",
        "unit: 0 | unit | minimum value of 1",
        "unit: 248 | unit | maximum value of 247",
        "host: 127.0.0.1 | host | no such key",
        "round_trip: 601ms | round_trip | 60 %"
      })
  void oneLineWrongIsOneProblem(String line, String key, String allowed) {
    yard.serial(line);
    says(yard.refused().get(0), "connections.cell-a." + key, allowed);
  }

  /** Unit 0 is a broadcast, 248 to 255 are reserved: MODBUS over Serial Line V1.02, section 2.2. */
  @ParameterizedTest
  @CsvSource({
    "modbus-rtu, unit: 0, unit",
    "modbus-rtu, unit: 248, unit",
    "modbus-rtu-over-tcp, unit: 0, unit",
    "modbus-rtu, 'points: {level_l: {register: 9, unit: 0}}', points.level_l.unit",
    "modbus-rtu, 'permits: {remote: {register: 9, unit: 0}}', permits.remote.unit",
  })
  void aUnitThatNoTankCanHaveOnASerialLineIsRefused(String protocol, String line, String key) {
    if (protocol.equals("modbus-rtu")) {
      yard.serial();
    } else {
      yard.with("modbus-tcp", protocol).line("port: 4001");
    }
    yard.tank(line);
    says(yard.only("tanks[0]." + key), "from 1 to 247", "every unit at once");
  }

  @Test
  void theLastUnitIsTakenAndOverTcpUnit0Too() throws Exception {
    yard.tank("unit: 0");
    assertEquals(1, yard.configuration().tanks().size());
    yard.serial().with("unit: 0", "unit: 247");
    assertEquals(1, yard.configuration().tanks().size());
  }

  @Test
  void aPortIsNeeded() {
    yard.with("modbus-tcp", "modbus-rtu").with("    host: 127.0.0.1\n", "");
    says(yard.only("connections.cell-a.device"), "is needed here");
  }

  @Test
  void overTcpThePortOfTheDeviceServerIsNeeded() {
    yard.with("modbus-tcp", "modbus-rtu-over-tcp");
    says(yard.only("connections.cell-a.port"), "is needed here");
  }

  /**
   * An image is 101 characters of 11 bits and two silences of 3.5, together 990 ms at 1200 baud;
   * with a heartbeat (30) and an order (112) it is 250 characters or 2292 ms.
   */
  @Test
  void whatDoesNotFitThroughTheLineIsRefusedWithItsTimes() {
    yard.serial("baud: 1200", "timeout: 900ms", "round_trip: 0ms", "detection: 3s");
    List<Problem> problems = yard.refused();
    says(problems.get(0), "baud", "990 ms", "2292 ms", "60 %", "raise the baud rate");
    says(problems.get(1), "timeout", "990 ms");
  }

  @Test
  void twoTanksFitAt4800BaudAndNotAt2400() throws Exception {
    yard.serial("baud: 4800", "minimum_gap: 0ms", "unit: 1");
    yard.second("cell-a", "number: 1", "unit: 2");
    assertEquals(2, yard.configuration().tanks().size());
    yard.with("baud: 4800", "baud: 2400");
    says(yard.refused().get(0), "connections.cell-a.baud", "2 tanks");
  }

  @Test
  void behindADeviceServerTheBaudRateIsLookedAtIfItIsSaid() throws Exception {
    yard.with("modbus-tcp", "modbus-rtu-over-tcp").line("port: 4001");
    assertEquals("127.0.0.1:4001 (RTU)", yard.configuration().lines().get(0).protocol().address());
    yard.line("baud: 1200");
    says(yard.refused().get(0), "connections.cell-a.baud");
  }

  @Test
  void aTimeoutShorterThanTheLongestReplyIsRefused() {
    yard.serial("baud: 9600", "timeout: 100ms");
    says(yard.only("connections.cell-a.timeout"), "124 ms at 9600 baud", "20 ms");
  }

  @Test
  void twoConnectionsOnOnePortAreRefused() throws IOException {
    Path real = Files.createFile(folder.resolve("ttyS0"));
    Path name = Files.createSymbolicLink(folder.resolve("by-name"), real);
    yard.serial().with("/dev/ttyUSB0", real.toString());
    yard.with(
        "supplies:\n",
        "  cell-b:\n    protocol: modbus-rtu\n    device: " + name + "\nsupplies:\n");
    yard.second("cell-b", "number: 2");
    says(
        yard.only("connections.cell-b.device"),
        "connection cell-a has this port already",
        "its own unit or base");
  }

  @Test
  void tanksOnABusAreTheirUnitsOrBases() throws Exception {
    yard.serial().second("cell-a", "number: 1", "unit: 2");
    assertEquals(2, yard.configuration().tanks().size());
    yard.with("unit: 2", "base: 200");
    says(yard.only("tanks[1].number"), "unit 1 has it");
    yard.with("    number: 1\n    base: 200", "    number: 2\n    base: 200");
    assertEquals(2, yard.configuration().tanks().size());
    yard.with("base: 200", "base: 43");
    says(yard.only("tanks[1].base"), "degrease-1 begin at 0", "each tank has 44");
  }

  @ParameterizedTest
  @ValueSource(strings = {"unit: 3", "base: 100"})
  void overOpcUaThereIsNoUnitAndNoBase(String line) {
    yard.opcUa("security: none").tank(line);
    says(yard.only("tanks[0]." + line.split(":")[0]), "only Modbus has it");
  }
}
