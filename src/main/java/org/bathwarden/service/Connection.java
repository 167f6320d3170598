package org.bathwarden.service;

import java.util.List;
import java.util.function.Function;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.LineStopper;
import org.bathwarden.line.LineWriter;
import org.bathwarden.tank.TankId;

/**
 * One connection to a PLC, as its scan thread uses it.
 *
 * @param name its name
 * @param reader reads its tanks
 * @param writers makes a writer for a tank; called for tanks in command mode only
 * @param stoppers makes a stopper for a tank that leaves command mode
 */
record Connection(
    String name,
    LineReader reader,
    Function<TankId, LineWriter> writers,
    Function<TankId, LineStopper> stoppers)
    implements AutoCloseable {

  /** The name under which its alarms stand. */
  TankId alarmName() {
    return new TankId("line-" + name);
  }

  static List<TankId> ids(List<TankRunner> tanks) {
    return tanks.stream().map(TankRunner::id).toList();
  }

  @Override
  public void close() {
    reader.close();
  }
}
