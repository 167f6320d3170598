package org.bathwarden.simulator;

import org.bathwarden.simulator.plc.Plc;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.simulator.wire.WireFaults;

/** Everything that can be made to go wrong between the floor and the controller. Any thread may call. */
public final class LineFaults {

  private final Object line;
  private final Plc plc;
  private final WireFaults modbus = new WireFaults();
  private final WireFaults opcUa = new WireFaults();

  LineFaults(Object line, Plc plc) {
    this.line = line;
    this.plc = plc;
  }

  /** The faults of one wire. */
  public WireFaults wire(Protocol protocol) {
    return protocol == Protocol.MODBUS ? modbus : opcUa;
  }

  /** A short power cycle of the PLC: what is retentive stays. */
  public void plcRestart() {
    synchronized (line) {
      plc.restart();
    }
  }

  /** Switches the PLC to STOP: outputs off, what it shows stands still; false lets it start again. */
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
