package org.bathwarden.line.opcua;

import org.bathwarden.line.LineStopper;
import org.bathwarden.line.LineWriter;
import org.bathwarden.tank.TankId;

/** Makes what may write. Only the service calls it, and only for a tank in command mode. */
public final class OpcUaWriters {

  private OpcUaWriters() {}

  /** A writer for {@code tank}, for the thread that reads {@code line}. */
  public static LineWriter writer(OpcUaLine line, TankId tank) {
    return new OpcUaWriter(tank, new OpcUaWire(line.connection(), line.map(tank)));
  }

  /** A stopper for {@code tank}, for the thread that reads {@code line}. */
  public static LineStopper stopper(OpcUaLine line, TankId tank) {
    return new OpcUaStopper(tank, new OpcUaWire(line.connection(), line.map(tank)));
  }
}
