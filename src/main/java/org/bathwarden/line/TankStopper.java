package org.bathwarden.line;

import org.bathwarden.tank.TankId;

/** Stops one tank: it can abandon and keep the heartbeat going, never order. */
public final class TankStopper implements LineStopper {

  private final TankId tank;
  private final Wire wire;

  /** A stopper for {@code tank} over {@code wire}. */
  public TankStopper(TankId tank, Wire wire) {
    this.tank = tank;
    this.wire = wire;
  }

  /**
   * The abandon first, then the heartbeat. Done if both are confirmed, not sent if neither reached
   * the wire.
   */
  @Override
  public WriteResult stop(LineWrite.Beat beat, LineWrite.Abandon abandon, Deadline by) {
    if (!beat.tank().equals(tank) || !abandon.tank().equals(tank)) {
      return WriteResult.NOT_SENT;
    }
    WriteResult abandoned = WriteSteps.run(abandon, wire, by);
    WriteResult beaten = WriteSteps.run(beat, wire, by);
    return abandoned == beaten ? abandoned : WriteResult.UNKNOWN;
  }
}
