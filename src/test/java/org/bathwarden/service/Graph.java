package org.bathwarden.service;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import java.util.function.LongSupplier;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.TankState;
import org.bathwarden.face.Request;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.LineStopper;
import org.bathwarden.line.LineWriter;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/**
 * The running controller's object graph for one connection, over any line and any record, round by
 * round on the calling thread. A process that is killed is one that is forgotten.
 */
public final class Graph {

  /** Real time that a round may take; the time of the plant stands still meanwhile. */
  private static final Duration PATIENCE = Duration.ofMinutes(5);

  private final Site site;
  private final ScanLoop loop;

  /**
   * The graph as a new process builds it from the record.
   *
   * @param monotonic the plant's time as the monotonic clock, ns
   */
  public Graph(
      List<Configuration.Tank> tanks,
      LineReader reader,
      Function<TankId, LineWriter> writers,
      Function<TankId, LineStopper> stoppers,
      Record record,
      Audience audience,
      LongSupplier monotonic,
      Now start)
      throws RecordException {
    Connection connection = new Connection("line-1", reader, writers, stoppers);
    Restore restore = new Restore(record, start);
    this.site = new Site(audience, restore.alarms(Site.ALARM_NAME), record::shortOfRoom);
    List<TankRunner> runners = new ArrayList<>();
    for (Configuration.Tank tank : tanks) {
      runners.add(new TankRunner(tank.sheet(), restore.tank(tank), connection));
    }
    this.loop =
        new ScanLoop(
            connection,
            PATIENCE,
            false,
            runners,
            new Watch(restore.alarms(connection.alarmName())),
            site,
            new Books(record, monotonic),
            start);
    site.add(loop);
  }

  /** One round. */
  public void round(Now now, int overruns, long missed) {
    loop.round(now, overruns, missed, false);
  }

  /** Takes a person's request for the next round. */
  public boolean offer(Request request) {
    return site.offer(request);
  }

  /** What it remembers of tank {@code tank}, index from 0. */
  public TankState state(int tank) {
    return loop.tanks().get(tank).state();
  }
}
