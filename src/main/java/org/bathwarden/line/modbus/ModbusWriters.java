package org.bathwarden.line.modbus;

import org.bathwarden.line.LineStopper;
import org.bathwarden.line.LineWriter;
import org.bathwarden.tank.TankId;

/** Makes what may write. Only the service calls it, and only for a tank in command mode. */
public final class ModbusWriters {

  private ModbusWriters() {}

  /** A writer for {@code tank}, for the thread that reads {@code line}. */
  public static LineWriter writer(ModbusLine line, TankId tank) {
    return new ModbusWriter(tank, line.wire(tank));
  }

  /** A stopper for {@code tank}, for the thread that reads {@code line}. */
  public static LineStopper stopper(ModbusLine line, TankId tank) {
    return new ModbusStopper(tank, line.wire(tank));
  }
}
