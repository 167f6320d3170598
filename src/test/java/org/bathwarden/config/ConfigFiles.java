package org.bathwarden.config;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;

/**
 * A configuration of an invented plant with one tank, changed line by line, so that a test shows
 * only what it is about.
 */
final class ConfigFiles {

  static final Path SHIPPED = Path.of("config");

  private final Path folder;
  private String text =
      """
      site: North Yard
      instance: 1
      pair:
        peers: [2]
        takeover: automatic
      record: {file: yard.db}
      connections:
        cell-a:
          protocol: modbus-tcp
          host: 127.0.0.1
      supplies:
        pump-1: {kind: pump, product: concentrate, rated_l_per_min: 1.5, ml_per_pulse: 10}
        water-1: {kind: valve, product: water, rated_l_per_min: 20, ml_per_pulse: 100}
      tanks:
        - name: degrease-1
          connection: cell-a
          number: 1
          mode: command
          chemistry: alkali-a.yaml
          metals: [steel]
          temperature_setpoint_c: 60
          drag_out_l_per_load: 0.8
          geometry:
            level_kind: surface
            working_l: 800
            low_level_l: 710
            minimum_l: 600
            heater_guard_l: 500
            maximum_l: 900
            surface_m2: 1.0
            circulation_l_per_min: 266.7
          band:
            target_pct: 8.0
            low_pct: 6.8
            high_pct: 9.7
          make_up_water: {strength_pct: 0, temperature_c: 14}
          concentrate: {supplies: [pump-1]}
          water: {supplies: [water-1]}
      """;

  /** Nothing is written before {@link #file}. */
  ConfigFiles(Path folder) {
    this.folder = folder;
  }

  /** The same with every {@code old} replaced; there must be one. */
  ConfigFiles with(String old, String changed) {
    if (!text.contains(old)) {
      throw new AssertionError("no \"" + old + "\" to replace");
    }
    text = text.replace(old, changed);
    return this;
  }

  /** The same with a line more in the tank. */
  ConfigFiles tank(String line) {
    return with("    number: 1\n", "    number: 1\n    " + line + "\n");
  }

  /** The same with a line more in the connection. */
  ConfigFiles line(String line) {
    return with("    host: 127.0.0.1\n", "    host: 127.0.0.1\n    " + line + "\n");
  }

  /** The same over OPC UA. */
  ConfigFiles opcUa(String... lines) {
    StringBuilder more = new StringBuilder("    endpoint: opc.tcp://127.0.0.1:4840\n");
    for (String line : lines) {
      more.append("    ").append(line).append('\n');
    }
    return with("modbus-tcp", "opc-ua").with("    host: 127.0.0.1\n", more.toString());
  }

  /** The same over a serial port. */
  ConfigFiles serial(String... lines) {
    StringBuilder more = new StringBuilder("    device: /dev/ttyUSB0\n");
    for (String line : lines) {
      more.append("    ").append(line).append('\n');
    }
    return with("modbus-tcp", "modbus-rtu").with("    host: 127.0.0.1\n", more.toString());
  }

  /**
   * The same with a second tank on {@code connection}, unlike the first where {@code lines} say.
   */
  ConfigFiles second(String connection, String... lines) {
    String first = text.substring(text.indexOf("  - name: degrease-1"));
    String second =
        first
            .replace("degrease-1", "degrease-2")
            .replace("connection: cell-a", "connection: " + connection)
            .replace("    number: 1\n", "    " + String.join("\n    ", lines) + "\n")
            .replace("pump-1", "pump-2")
            .replace("water-1", "water-2");
    return with(
            "supplies:\n",
            """
            supplies:
              pump-2: {kind: pump, product: concentrate, rated_l_per_min: 1.5, ml_per_pulse: 10}
              water-2: {kind: valve, product: water, rated_l_per_min: 20, ml_per_pulse: 100}
            """)
        .end(second);
  }

  /** The same with more at its end, which is the list of tanks. */
  ConfigFiles end(String more) {
    text = text + more;
    return this;
  }

  Path write(String name, String content) {
    try {
      Path file = folder.resolve(name);
      Files.createDirectories(file.toAbsolutePath().getParent());
      return Files.writeString(file, content);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static String read(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  Path file() {
    if (!Files.exists(folder.resolve("alkali-a.yaml"))) {
      write("alkali-a.yaml", read(SHIPPED.resolve("chemistry/alkali-a.yaml")));
    }
    return write("yard.yaml", text);
  }

  Configuration configuration() throws ConfigException {
    return configuration(Map.of());
  }

  Configuration configuration(Map<String, String> environment) throws ConfigException {
    return ConfigReader.read(file(), environment);
  }

  /** Every problem of a configuration that must be refused. */
  List<Problem> refused() {
    return refused(Map.of());
  }

  List<Problem> refused(Map<String, String> environment) {
    try {
      configuration(environment);
    } catch (ConfigException e) {
      return e.problems();
    }
    throw new AssertionError("taken, but must be refused:\n" + text);
  }

  /** The one problem of a configuration that must be refused, checked to stand on its line. */
  Problem only(String path) {
    List<Problem> problems = refused();
    if (problems.size() != 1 || !problems.get(0).path().equals(path)) {
      throw new AssertionError("not one problem at " + path + ": " + problems);
    }
    return problems.get(0);
  }

  /** Number of the first line that contains {@code words}, from 1. */
  int lineOf(String words) {
    List<String> lines = text.lines().toList();
    for (int i = 0; i < lines.size(); i++) {
      if (lines.get(i).contains(words)) {
        return i + 1;
      }
    }
    throw new AssertionError("no line with " + words);
  }
}
