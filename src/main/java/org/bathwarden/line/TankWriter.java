package org.bathwarden.line;

import org.bathwarden.tank.TankId;

/** Writes to one tank, and to no other. Made by the adapters for the service only. */
public final class TankWriter implements LineWriter {

  private final TankId tank;
  private final Wire wire;

  /** A writer for {@code tank} over {@code wire}. */
  public TankWriter(TankId tank, Wire wire) {
    this.tank = tank;
    this.wire = wire;
  }

  @Override
  public WriteResult write(LineWrite what, Deadline by) {
    return what.tank().equals(tank) ? WriteSteps.run(what, wire, by) : WriteResult.NOT_SENT;
  }
}
