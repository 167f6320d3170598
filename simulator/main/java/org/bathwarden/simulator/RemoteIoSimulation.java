package org.bathwarden.simulator;

import java.net.InetAddress;
import java.time.Duration;
import java.util.List;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.simulator.scenario.ShopFloor;
import org.bathwarden.simulator.scenario.WireChange;
import org.bathwarden.simulator.wire.RemoteIo;

/** A scenario on a line without a PLC program: its shop floor, and remote I/O for each tank. */
public final class RemoteIoSimulation extends SimulatedPlant {

  /** The longest that the line contract allows. */
  private static final Duration WATCHDOG = Duration.ofSeconds(5);

  private final RemoteIo io;

  private RemoteIoSimulation(ShopFloor floor, RemoteIo io) {
    super(floor);
    this.io = io;
  }

  /** Opens {@code scenario} with the chance of {@code seed}; port 0 takes a free one. */
  public static RemoteIoSimulation open(Scenario scenario, long seed, InetAddress bind, int port) {
    ShopFloor floor = new ShopFloor(scenario, seed);
    return new RemoteIoSimulation(floor, new RemoteIo(floor, WATCHDOG, bind, port));
  }

  @Override
  void step(Duration step) {
    io.advance(step);
  }

  @Override
  void befalls(WireChange change) {
    FaultKind kind = change.fault().kind();
    if (kind == FaultKind.PLC_RESTART || kind == FaultKind.PLC_MEMORY_LOST) {
      if (change.starts()) {
        io.restart();
      }
    } else {
      LineFaults.onWires(change, List.of(io.faults()));
    }
  }

  /** The modules. */
  public RemoteIo io() {
    return io;
  }

  @Override
  public void close() {
    super.close();
    io.close();
  }
}
