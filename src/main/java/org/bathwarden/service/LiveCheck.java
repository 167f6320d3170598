package org.bathwarden.service;

import java.io.IOException;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.bathwarden.config.Configuration;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.LineProbe;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.ProbeReport;
import org.bathwarden.line.modbus.ModbusLine;
import org.bathwarden.line.opcua.OpcUaLine;
import org.bathwarden.line.pulse.PulseMemory;
import org.bathwarden.tank.TankId;

/** Looks at every tank of a line on the wire, reading only: nothing that writes is built here. */
public final class LiveCheck {

  /** A PLC that runs has counted its heartbeat up after so long. */
  private static final Duration HEARTBEAT_MAX = Duration.ofMillis(2500);

  private static final Duration BETWEEN_TRIES = Duration.ofMillis(200);
  private static final Duration CALL_MAX = Duration.ofSeconds(5);

  private final Clock wall;
  private final Duration connectMax;

  /**
   * A check.
   *
   * @param wall clock of the ages
   * @param connectMax how long a line is tried before it counts as down
   */
  public LiveCheck(Clock wall, Duration connectMax) {
    this.wall = wall;
    this.connectMax = connectMax;
  }

  /**
   * One tank as found.
   *
   * @param report what the line brought
   * @param heartbeatMoves whether {@code plc_heartbeat} counted up while it was watched
   */
  public record Checked(TankId tank, ProbeReport report, boolean heartbeatMoves) {

    /** Whether the tank could be run as wired. */
    public boolean proved() {
      return report.image().link().up() && report.wiringProved() && heartbeatMoves;
    }
  }

  /**
   * Looks at every tank of {@code line}, in their order.
   *
   * @throws IOException if the line's certificate folder cannot be made or read
   */
  public List<Checked> of(Configuration.Line line) throws IOException, InterruptedException {
    if (line.protocol() instanceof Configuration.Protocol.Modbus modbus) {
      try (ModbusLine reader =
          ModbusLine.open(modbus.settings(), Lines.remote(line, tank -> PulseMemory.NONE))) {
        return probe(reader, line);
      }
    }
    try (OpcUaLine reader =
        OpcUaLine.open(((Configuration.Protocol.OpcUa) line.protocol()).settings())) {
      return probe(reader, line);
    }
  }

  private List<Checked> probe(LineProbe probe, Configuration.Line line)
      throws InterruptedException {
    List<Checked> found = new ArrayList<>();
    long giveUp = System.nanoTime() + connectMax.toNanos();
    for (Configuration.Tank tank : line.tanks()) {
      ProbeReport report = once(probe, tank.id());
      while (!report.image().link().up() && System.nanoTime() < giveUp) {
        TimeUnit.NANOSECONDS.sleep(BETWEEN_TRIES.toNanos());
        report = once(probe, tank.id());
      }
      found.add(new Checked(tank.id(), report, moves(probe, tank.id(), report)));
    }
    return found;
  }

  private boolean moves(LineProbe probe, TankId tank, ProbeReport first)
      throws InterruptedException {
    if (first.image().words().isEmpty()) {
      return false;
    }
    int before = first.image().words().get().plcHeartbeat();
    long until = System.nanoTime() + HEARTBEAT_MAX.toNanos();
    while (System.nanoTime() < until) {
      TimeUnit.NANOSECONDS.sleep(BETWEEN_TRIES.toNanos());
      if (once(probe, tank)
          .image()
          .words()
          .map(PlcWords::plcHeartbeat)
          .filter(now -> now != before)
          .isPresent()) {
        return true;
      }
    }
    return false;
  }

  private ProbeReport once(LineProbe probe, TankId tank) {
    return probe.probe(tank, wall.instant(), new Deadline(System.nanoTime() + CALL_MAX.toNanos()));
  }
}
