package org.bathwarden.config;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Supplier;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.modbus.ModbusRoute;
import org.bathwarden.line.modbus.ModbusSettings;
import org.bathwarden.line.opcua.OpcUaSettings;
import org.bathwarden.line.opcua.OpcUaSettings.Login;
import org.bathwarden.line.opcua.OpcUaSettings.Security;
import org.bathwarden.tank.TankId;

/** Makes the settings of one connection. */
final class LineConfigReader {

  private static final String NAMESPACE = "urn:bathwarden:line";
  private static final String APPLICATION = "urn:bathwarden:controller";
  private static final Backoff BACKOFF = new Backoff(Duration.ofMillis(250), Duration.ofSeconds(5));

  /** Tanks × round trip may take so much of the scan. */
  private static final double SCAN_SHARE = 0.6;

  private final Path folder;
  private final Secrets secrets;
  private final List<Problem> problems;

  LineConfigReader(Path folder, Secrets secrets, List<Problem> problems) {
    this.folder = folder;
    this.secrets = secrets;
    this.problems = problems;
  }

  private static boolean modbus(Section line) {
    return line.text("protocol", "").startsWith("modbus");
  }

  private static boolean serial(Section line) {
    return line.text("protocol", "").equals("modbus-rtu");
  }

  /** The PLC or bus that a connection leads to: two connections may lead to one. */
  static String address(Section line) {
    if (serial(line)) {
      return line.text("device", "");
    }
    return modbus(line)
        ? line.text("host", "") + ":" + line.whole("port", 502)
        : line.text("endpoint", "");
  }

  /** The device that holds a tank's words: on Modbus a unit behind the address. */
  static String device(Section line, Section tank) {
    return address(line) + (modbus(line) ? " unit " + unit(line, tank) : "");
  }

  /** A port has many names; the one that all lead to is compared. */
  private static String port(String device) {
    try {
      return Path.of(device).toRealPath().toString();
    } catch (IOException | InvalidPathException e) {
      // It is not plugged in here, or is no file on this system.
      return device;
    }
  }

  /** A serial port has one master: two connections to it would answer for each other. */
  static void onePortEach(Section connections, List<Problem> problems) {
    Map<String, String> taken = new HashMap<>();
    for (String name : connections.keys()) {
      Section line = connections.section(name);
      if (serial(line) && line.has("device")) {
        String other = taken.putIfAbsent(port(address(line)), name);
        if (other != null) {
          problems.add(
              line.error(
                  "device",
                  "connection "
                      + other
                      + " has this port already; put its tanks on that connection, each with its"
                      + " own unit or base"));
        }
      }
    }
  }

  /** Address of the first register of a tank's words; empty if it has none. */
  static OptionalInt base(Section line, Section tank) {
    return modbus(line)
        ? OptionalInt.of(tank.whole("base", 100 * (tank.whole("number", 1) - 1)))
        : OptionalInt.empty();
  }

  static int unit(Section line, Section tank) {
    return tank.whole("unit", line.whole("unit", 1));
  }

  /** The contract's places for tank {@code number} on this line, changed by {@code tank}. */
  ItemMap items(Section line, Section tank, int number) {
    if (modbus(line)) {
      int unit = unit(line, tank);
      ItemMap map =
          new ItemMapReader(
                  ItemMap.modbusAt(number, unit, base(line, tank).orElse(0)),
                  unit,
                  Optional.empty(),
                  problems)
              .read(tank);
      return tank.has("pulse") ? PulseReader.withoutPlc(map, tank, unit, problems) : map;
    }
    for (String key : List.of("unit", "base", "pulse")) {
      if (tank.has(key)) {
        problems.add(tank.error(key, "only Modbus has it; this tank's connection is OPC UA"));
      }
    }
    String namespace = line.text("namespace", NAMESPACE);
    return new ItemMapReader(
            ItemMap.opcUaDefault(number, namespace), 1, Optional.of(namespace), problems)
        .read(tank);
  }

  /**
   * Reads a connection.
   *
   * @param tanks those of its tanks that could be read
   * @param tankCount how many name it
   */
  Configuration.Line read(
      String name, Section line, List<Configuration.Tank> tanks, int tankCount) {
    Duration scan = line.duration("scan", Duration.ofSeconds(1));
    Duration timeout = line.duration("timeout", Duration.ofMillis(500));
    Duration roundTrip = line.duration("round_trip", Duration.ofMillis(20));
    Duration detection = line.duration("detection", Duration.ofSeconds(3));
    Map<TankId, ItemMap> maps = new HashMap<>();
    tanks.forEach(tank -> maps.put(tank.id(), tank.items()));
    Configuration.Protocol protocol =
        modbus(line)
            ? new Configuration.Protocol.Modbus(
                new ModbusSettings(
                    route(line),
                    Duration.ofSeconds(1),
                    timeout,
                    line.duration("minimum_gap", Duration.ZERO),
                    BACKOFF,
                    maps))
            : new Configuration.Protocol.OpcUa(
                new OpcUaSettings(
                    line.text("endpoint", ""),
                    security(line),
                    login(line),
                    Duration.ofSeconds(5),
                    timeout,
                    BACKOFF,
                    maps));
    timing(line, scan, timeout, roundTrip, detection, tankCount);
    if (protocol instanceof Configuration.Protocol.Modbus modbus) {
      SerialTiming.check(line, modbus.settings(), scan, roundTrip, problems);
    }
    List<String> wrong =
        new ArrayList<>(
            protocol instanceof Configuration.Protocol.Modbus modbus
                ? modbus.settings().problems()
                : ((Configuration.Protocol.OpcUa) protocol).settings().problems());
    // What is wrong with a tank's own map was said where it stands.
    tanks.forEach(
        tank ->
            tank.items().problems().forEach(problem -> wrong.remove(tank.id() + ": " + problem)));
    wrong.forEach(problem -> problems.add(line.error("", problem)));
    return new Configuration.Line(name, scan, roundTrip, detection, protocol, tanks);
  }

  private static ModbusRoute route(Section line) {
    if (serial(line)) {
      return new ModbusRoute.Serial(
          line.text("device", ""),
          line.whole("baud", 19_200),
          Section.constant(ModbusRoute.Parity.class, line.text("parity", "even")),
          line.whole("stop_bits", 1));
    }
    String host = line.text("host", "");
    int port = line.whole("port", 502);
    return line.text("protocol", "").equals("modbus-tcp")
        ? new ModbusRoute.Tcp(host, port)
        : new ModbusRoute.RtuOverTcp(
            host,
            port,
            line.has("baud") ? Optional.of(line.whole("baud", 19_200)) : Optional.empty());
  }

  private void timing(
      Section line,
      Duration scan,
      Duration timeout,
      Duration roundTrip,
      Duration detection,
      int tanks) {
    if (scan.compareTo(Duration.ofMillis(200)) < 0 || scan.compareTo(Duration.ofSeconds(1)) > 0) {
      problems.add(
          line.error("scan", "must be from 200ms to 1s: the heartbeat goes out once a second"));
    }
    long needed = roundTrip.toMillis() * tanks;
    if (needed > SCAN_SHARE * scan.toMillis()) {
      problems.add(
          line.error(
              "round_trip",
              tanks
                  + " tanks × "
                  + roundTrip.toMillis()
                  + " ms are "
                  + needed
                  + " ms, more than 60 % of the scan of "
                  + scan.toMillis()
                  + " ms"));
    }
    if (timeout.compareTo(scan) >= 0) {
      problems.add(line.error("timeout", "must be shorter than the scan"));
    }
    Duration reached = scan.plus(timeout);
    if (reached.compareTo(detection) > 0) {
      problems.add(
          line.error(
              "detection",
              "cannot be reached: scan and timeout take up to " + reached.toMillis() + " ms"));
    }
  }

  private Security security(Section line) {
    String wanted = line.text("security", "sign-and-encrypt");
    if (wanted.equals("none")) {
      for (String key : List.of("pki", "pki_password")) {
        if (line.has(key)) {
          problems.add(line.error(key, "has no use with security none"));
        }
      }
      return new Security.Unprotected();
    }
    return new Security.Basic256Sha256(
        wanted.equals("sign-and-encrypt"),
        new OpcUaSettings.PkiSettings(
            folder.resolve(line.text("pki", "pki")),
            APPLICATION,
            password(line, "pki_password"),
            true));
  }

  private Login login(Section line) {
    if (line.has("certificate")) {
      Path keyStore = folder.resolve(line.text("certificate", ""));
      if (!Files.isReadable(keyStore)) {
        problems.add(line.error("certificate", "no readable file at " + keyStore));
      }
      return new Login.Certificate(keyStore, password(line, "certificate_password"));
    }
    return line.text("user")
        .<Login>map(user -> new Login.User(user, password(line, "password")))
        .orElseGet(Login.Anonymous::new);
  }

  /** The secret at {@code key}, fetched now, so that a missing one is said now. */
  private Supplier<char[]> password(Section line, String key) {
    String secret = secrets.secret(line, key, problems).orElse("");
    return secret::toCharArray;
  }
}
