package org.bathwarden.simulator;

import java.time.Duration;
import java.util.Collection;
import java.util.EnumMap;
import java.util.Map;
import java.util.Objects;
import org.bathwarden.simulator.plc.Plc;
import org.bathwarden.simulator.scenario.WireChange;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.simulator.wire.WireFault;
import org.bathwarden.simulator.wire.WireFaults;

/**
 * Everything that can be made to go wrong between the floor and the controller. Any thread may
 * call.
 */
public final class LineFaults {

  private final Object line;
  private final Plc plc;
  private final Map<Protocol, WireFaults> wires = new EnumMap<>(Protocol.class);

  LineFaults(Object line, Plc plc) {
    this.line = line;
    this.plc = plc;
    for (Protocol protocol : Protocol.values()) {
      wires.put(protocol, new WireFaults());
    }
  }

  /** The faults of one wire. */
  public WireFaults wire(Protocol protocol) {
    return Objects.requireNonNull(wires.get(protocol));
  }

  /** Starts or ends what a scenario's timeline passes on; wire faults strike all wires. */
  public void apply(WireChange change) {
    boolean starts = change.starts();
    switch (change.fault().kind()) {
      case PLC_RESTART -> {
        if (starts) {
          plcRestart();
        }
      }
      case PLC_MEMORY_LOST -> {
        if (starts) {
          plcMemoryLost();
        }
      }
      default -> onWires(change, wires.values());
    }
  }

  /** Starts or ends a fault of the wire on each of {@code wires}. */
  static void onWires(WireChange change, Collection<WireFaults> wires) {
    double size = change.fault().size();
    boolean starts = change.starts();
    switch (change.fault().kind()) {
      case SLOW_REPLIES -> {
        Duration delay = starts ? Duration.ofMillis(Math.round(1000 * size)) : Duration.ZERO;
        wires.forEach(wire -> wire.replyDelay(delay));
      }
      case ACK_IGNORED -> onWires(wires, WireFault.ACK_IGNORED, starts, 1);
      case LINK_CUT -> onWires(wires, WireFault.LINK_CUT, starts, 1);
      case LOST_REPLY -> onWires(wires, WireFault.LOST_REPLY, starts, size);
      case GARBAGE -> onWires(wires, WireFault.GARBAGE, starts, size);
      default ->
          throw new IllegalArgumentException("no fault of the wire: " + change.fault().kind());
    }
  }

  private static void onWires(
      Collection<WireFaults> wires, WireFault fault, boolean starts, double share) {
    for (WireFaults wire : wires) {
      if (starts) {
        wire.set(fault, share);
      } else {
        wire.clear(fault);
      }
    }
  }

  /** A short power cycle of the PLC: what is retentive stays. */
  public void plcRestart() {
    synchronized (line) {
      plc.restart();
    }
  }

  /**
   * Switches the PLC to STOP: outputs off, what it shows stands still; false lets it start again.
   */
  public void plcStopped(boolean stopped) {
    synchronized (line) {
      plc.stopped(stopped);
    }
  }

  /** The PLC restarts with its retentive memory empty. */
  public void plcMemoryLost() {
    synchronized (line) {
      plc.loseMemory();
    }
  }

  /** Keeps a copy of the PLC's retentive memory. */
  public Plc.SavedMemory savePlcMemory() {
    synchronized (line) {
      return plc.saveMemory();
    }
  }

  /** The PLC restarts with an old copy of its retentive memory. */
  public void loadPlcMemory(Plc.SavedMemory saved) {
    synchronized (line) {
      plc.loadMemory(saved);
    }
  }
}
