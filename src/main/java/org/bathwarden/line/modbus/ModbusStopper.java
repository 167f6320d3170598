package org.bathwarden.line.modbus;

import org.bathwarden.line.Deadline;
import org.bathwarden.line.LineStopper;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Wire;
import org.bathwarden.line.WriteResult;
import org.bathwarden.line.WriteSteps;
import org.bathwarden.tank.TankId;

/** Stops one tank: it can abandon and keep the heartbeat going, never order. */
record ModbusStopper(TankId tank, Wire wire) implements LineStopper {

  @Override
  public WriteResult abandon(LineWrite.Abandon abandon, Deadline by) {
    return WriteSteps.write(tank, abandon, wire, by);
  }

  @Override
  public WriteResult stop(LineWrite.Beat beat, LineWrite.Abandon abandon, Deadline by) {
    return WriteSteps.stop(tank, beat, abandon, wire, by);
  }
}
