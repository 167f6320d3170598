package org.bathwarden.line.opcua;

import org.bathwarden.line.Deadline;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.Wire;
import org.bathwarden.line.WriteResult;
import org.bathwarden.line.WriteSteps;
import org.bathwarden.tank.TankId;

/** Writes to one tank, and to no other. */
record OpcUaWriter(TankId tank, Wire wire) implements LineWriter {

  @Override
  public WriteResult write(LineWrite what, Deadline by) {
    return WriteSteps.write(tank, what, wire, by);
  }
}
