package org.bathwarden.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Permit;
import org.bathwarden.line.Place;
import org.bathwarden.line.WordOrder;
import org.bathwarden.line.modbus.ModbusRoute;
import org.bathwarden.line.modbus.ModbusSettings;
import org.bathwarden.line.opcua.OpcUaSettings;
import org.bathwarden.signal.CurrentInput;
import org.bathwarden.signal.PhElectrodeInput;
import org.bathwarden.signal.Pt100Input;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Supply;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The examples that ship are taken as they are. */
class ShippedConfigurationTest extends ConfigCase {

  private Path shipped() throws IOException {
    for (String name :
        List.of(
            "chemistry/alkali-a.yaml",
            "demo.yaml",
            "example-modbus.yaml",
            "example-opcua.yaml",
            "example-pulse.yaml",
            "example-serial.yaml",
            "rehearsal-modbus.yaml",
            "rehearsal-opcua.yaml")) {
      yard.write(name, ConfigFiles.read(ConfigFiles.SHIPPED.resolve(name)));
    }
    yard.write("secrets/mqtt-password", "a\n");
    yard.write("secrets/plc-password", "b\n");
    return folder;
  }

  private Configuration shipped(String name) throws Exception {
    return ConfigReader.read(
        shipped().resolve(name),
        Map.of("NORTH_YARD_MQTT_PASSWORD", "c", "SOUTH_YARD_PKI_PASSWORD", "d"));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "demo.yaml",
        "example-modbus.yaml",
        "example-opcua.yaml",
        "example-pulse.yaml",
        "example-serial.yaml",
        "rehearsal-modbus.yaml",
        "rehearsal-opcua.yaml"
      })
  void whatShipsIsTakenWithoutAWarning(String name) throws Exception {
    assertEquals(List.of(), shipped(name).warnings());
  }

  @Test
  void theModbusExampleShowsASharedDrumAPointAndPermitsElsewhere() throws Exception {
    Configuration read = shipped("example-modbus.yaml");
    for (Configuration.Tank tank : read.tanks()) {
      assertTrue(
          tank.sheet()
              .dosing()
              .deliveries()
              .get(Product.CONCENTRATE)
              .supplies()
              .contains(new Supply("drum-1")));
    }
    Configuration.Tank first = read.tanks().get(0);
    assertEquals(
        new Place.Register(Place.Table.HOLDING, 2, 410, Encoding.S32, WordOrder.CDAB),
        first.items().mapping(Item.CONDUCTIVITY_MS_CM).place());
    assertEquals(
        new CurrentInput(0, 1000), first.items().mapping(Item.LEVEL_L).conversion().input());
    assertEquals(
        new Pt100Input(0.4), first.items().mapping(Item.TEMPERATURE_C).conversion().input());
    assertInstanceOf(PhElectrodeInput.class, first.items().mapping(Item.PH).conversion().input());
    assertEquals(Set.of(Permit.NO_ONE_AT_TANK), first.sheet().bypassed());
    assertEquals(Mode.COMMAND, first.sheet().dosing().mode());
    assertEquals(Mode.PROPOSE, read.tanks().get(1).sheet().dosing().mode());
    assertEquals("c", read.mqtt().orElseThrow().password().orElseThrow());
  }

  @Test
  void theSerialExampleShowsTwoUnitsOnAPortAndAMovedTankBehindADeviceServer() throws Exception {
    Configuration read = shipped("example-serial.yaml");
    ModbusSettings port =
        assertInstanceOf(Configuration.Protocol.Modbus.class, read.lines().get(0).protocol())
            .settings();
    assertEquals(
        new ModbusRoute.Serial("/dev/serial/by-id/usb-rs485-a", 19_200, ModbusRoute.Parity.EVEN, 1),
        port.route());
    ModbusSettings server =
        assertInstanceOf(Configuration.Protocol.Modbus.class, read.lines().get(1).protocol())
            .settings();
    assertEquals(new ModbusRoute.RtuOverTcp("192.0.2.30", 4001, Optional.of(9600)), server.route());
    assertEquals(Duration.ofMillis(10), server.gap());
    assertEquals(
        List.of(
            plausible(ItemMap.modbusAt(1, 1, 0)),
            plausible(ItemMap.modbusAt(1, 2, 0)),
            plausible(ItemMap.modbusAt(3, 5, 1000))),
        read.tanks().stream().map(Configuration.Tank::items).toList());
  }

  @Test
  void theOpcUaExampleIsSignedAndEncrypted() throws Exception {
    Configuration read = shipped("example-opcua.yaml");
    OpcUaSettings settings =
        assertInstanceOf(Configuration.Protocol.OpcUa.class, read.lines().get(0).protocol())
            .settings();
    assertTrue(
        assertInstanceOf(OpcUaSettings.Security.Basic256Sha256.class, settings.security())
            .encrypt());
    assertEquals(
        "bathwarden", assertInstanceOf(OpcUaSettings.Login.User.class, settings.login()).name());
    assertEquals(
        new Place.Node("urn:bathwarden:line", "s=Heating.Zone3.Actual", Encoding.S16),
        read.tanks().get(0).items().mapping(Item.TEMPERATURE_C).place());
    assertEquals(
        new CurrentInput(0, 200),
        read.tanks().get(0).items().mapping(Item.CONDUCTIVITY_MS_CM).conversion().input());
  }

  @ParameterizedTest
  @ValueSource(strings = {"rehearsal-modbus.yaml", "rehearsal-opcua.yaml"})
  void aRehearsalIsTwoTanksOnTheDefaultMapInCommand(String name) throws Exception {
    Configuration read = shipped(name);
    assertTrue(read.rehearsal());
    assertEquals(
        List.of(1, 2), read.tanks().stream().map(tank -> tank.items().tankNumber()).toList());
    for (Configuration.Tank tank : read.tanks()) {
      ItemMap standard =
          name.contains("modbus")
              ? ItemMap.modbusDefault(tank.items().tankNumber())
              : ItemMap.opcUaDefault(tank.items().tankNumber(), "urn:bathwarden:line");
      assertEquals(plausible(standard), tank.items());
      assertEquals(Mode.COMMAND, tank.sheet().dosing().mode());
    }
  }
}
