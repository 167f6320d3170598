package org.bathwarden.config;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.Pair;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.modbus.ModbusSettings;
import org.bathwarden.line.opcua.OpcUaSettings;
import org.bathwarden.line.pulse.PulseSettings;
import org.bathwarden.record.Retention;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankId;

/**
 * A configuration that was read and found sound.
 *
 * @param site name of the site
 * @param rehearsal whether it may run in scaled time against a test PLC
 * @param pair this controller and the others on its lines
 * @param record file of the record
 * @param retention how long what of it is kept
 * @param health health and metrics
 * @param mqtt broker, if there is one
 * @param lines connections with their tanks
 * @param warnings what was taken, but should be looked at
 * @param fingerprint of all files it was read from
 * @param text of all files it was read from, without any secret
 */
public record Configuration(
    String site,
    boolean rehearsal,
    Pair pair,
    Path record,
    Retention retention,
    Health health,
    Optional<Mqtt> mqtt,
    List<Line> lines,
    List<Problem> warnings,
    String fingerprint,
    String text) {

  /** Copies the lists. */
  public Configuration {
    lines = List.copyOf(lines);
    warnings = List.copyOf(warnings);
  }

  /** The same with other lines, record and broker; for simulated lines. */
  public Configuration with(List<Line> newLines, Path newRecord, Optional<Mqtt> newMqtt) {
    return new Configuration(
        site,
        rehearsal,
        pair,
        newRecord,
        retention,
        health,
        newMqtt,
        newLines,
        warnings,
        fingerprint,
        text);
  }

  /** Every tank of every line. */
  public List<Tank> tanks() {
    return lines.stream().flatMap(line -> line.tanks().stream()).toList();
  }

  /**
   * Where health, metrics and the console listen.
   *
   * @param bind address
   * @param port TCP port; 0 takes any free one
   */
  public record Health(String bind, int port) {}

  /**
   * The broker.
   *
   * @param uri {@code tcp://host:port} or {@code ssl://host:port}
   * @param clientId fixed client id
   * @param user user, if the broker asks for one
   * @param password its password
   * @param trust PEM file of the certificate authority, for ssl
   */
  public record Mqtt(
      String uri,
      String clientId,
      Optional<String> user,
      Optional<String> password,
      Optional<Path> trust) {

    /** Without the password. */
    @Override
    public String toString() {
      return "Mqtt[" + uri + ", " + clientId + ", " + user.orElse("no user") + "]";
    }
  }

  /**
   * One connection.
   *
   * @param name its name
   * @param scan period of its rounds
   * @param roundTrip time of a request and its reply, expected
   * @param detection within which a lost link is noticed
   * @param protocol how it is reached
   * @param tanks its tanks, in the order of the file
   */
  public record Line(
      String name,
      Duration scan,
      Duration roundTrip,
      Duration detection,
      Protocol protocol,
      List<Tank> tanks) {

    /** Copies the list. */
    public Line {
      tanks = List.copyOf(tanks);
    }

    /** The same line, reached at another host and port. */
    public Line at(String host, int port) {
      return new Line(name, scan, roundTrip, detection, protocol.at(host, port), tanks);
    }

    /** The same line with its tanks in at most {@code mode}. */
    public Line in(Mode mode) {
      return new Line(
          name,
          scan,
          roundTrip,
          detection,
          protocol,
          tanks.stream().map(tank -> tank.in(mode)).toList());
    }
  }

  /** How a line is reached. */
  public sealed interface Protocol {

    /** The same at another host and port. */
    Protocol at(String host, int port);

    /** Where it leads, for people. */
    String address();

    /** Over Modbus: TCP, a serial line, or a serial line behind a device server. */
    record Modbus(ModbusSettings settings) implements Protocol {
      @Override
      public String address() {
        return settings.route().words();
      }

      @Override
      public Protocol at(String host, int port) {
        return new Modbus(settings.over(settings.route().at(host, port)));
      }
    }

    /** Over OPC UA. */
    record OpcUa(OpcUaSettings settings) implements Protocol {
      @Override
      public String address() {
        return settings.url();
      }

      @Override
      public Protocol at(String host, int port) {
        URI url = URI.create(settings.url());
        return new OpcUa(
            new OpcUaSettings(
                "opc.tcp://" + host + ":" + port + url.getRawPath(),
                settings.security(),
                settings.login(),
                settings.connectTimeout(),
                settings.requestTimeout(),
                settings.backoff(),
                settings.tanks()));
      }
    }
  }

  /**
   * One tank.
   *
   * @param sheet everything a pass needs
   * @param items where its items live
   * @param firstState bath state, taken when the record knows none
   * @param pulse its coils, if it has them in place of a PLC program
   */
  public record Tank(
      Sheet sheet, ItemMap items, BathState firstState, Optional<PulseSettings> pulse) {

    /** The same tank in at most {@code mode}. */
    Tank in(Mode mode) {
      return new Tank(sheet.in(mode), items, firstState, pulse);
    }

    /** Concentrate used at normal work, L/h, by the rough figures of the configuration. */
    public double normalUseLPerH() {
      return Contradictions.normalUse(sheet.tank());
    }

    /** Its name. */
    public TankId id() {
      return sheet.tank().id();
    }
  }
}
