package org.bathwarden.service;

import java.io.IOException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.config.Configuration;
import org.bathwarden.face.Request;
import org.bathwarden.line.Repeats;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The object graph of one running controller, built here by plain constructors. Runs its rounds by
 * threads of its own ({@link #start}), or one by one for whoever holds the time ({@link #round}).
 */
public final class Service implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(Service.class);

  /** How long leaving command may take at a stop before the heartbeat ends by itself. */
  private static final Duration LEAVING_MAX = Duration.ofSeconds(45);

  /** How long the rounds that are under way then may take, all lines together. */
  private static final Duration ROUND_ENDS_WITHIN = Duration.ofSeconds(5);

  /** How long a stop waits for the record. */
  private static final Duration STORED_WITHIN = Duration.ofSeconds(5);

  private final Site site;
  private final Record record;
  private final List<Connection> connections = new ArrayList<>();
  private final List<Duration> periods = new ArrayList<>();
  private final List<Thread> threads = new ArrayList<>();
  private final List<WallPace> paces = new ArrayList<>();
  private final CountDownLatch firstRounds;
  private volatile boolean stopping;

  /**
   * Builds the graph and restores what the record knows. Nothing is read or written on a line yet.
   *
   * @param record stays the caller's to close
   * @param start the moment at which the steady clock starts
   * @param patience real time that a round may take where time stands still meanwhile (lockstep);
   *     else the scan period of each line bounds it
   * @throws RecordException if the record cannot be read
   * @throws IOException if a line's certificate folder cannot be made or read
   */
  public Service(
      Configuration configuration,
      Record record,
      Audience audience,
      Now start,
      Optional<Duration> patience)
      throws RecordException, IOException {
    this.record = record;
    Restore restore = new Restore(record, start);
    this.site = new Site(audience, restore.alarms(Site.ALARM_NAME), record::shortOfRoom);
    for (Configuration.Line line : configuration.lines()) {
      Connection connection = Lines.connect(line, configuration.record());
      List<TankRunner> tanks = new ArrayList<>();
      for (Configuration.Tank tank : line.tanks()) {
        tanks.add(new TankRunner(tank.sheet(), restore.tank(tank), connection));
      }
      AlarmState lineAlarms = restore.alarms(connection.alarmName());
      site.add(
          new ScanLoop(
              connection,
              patience.orElse(line.scan()),
              patience.isPresent(),
              tanks,
              new Watch(lineAlarms),
              site,
              new Books(record, System::nanoTime),
              start));
      connections.add(connection);
      periods.add(line.scan());
    }
    this.firstRounds = new CountDownLatch(connections.size());
    record.keepSettings(Site.ALARM_NAME, start, configuration.fingerprint(), configuration.text());
  }

  /** Runs one round of every connection on the calling thread. */
  public void round(Now now) {
    for (ScanLoop loop : site.loops()) {
      loop.round(now, 0, 0, stopping);
    }
  }

  /**
   * Starts a scan thread for each connection.
   *
   * @param dead told of a scan thread that ends in an error; the process must not go on without it
   */
  public void start(SteadyClock clock, Thread.UncaughtExceptionHandler dead) {
    for (int i = 0; i < connections.size(); i++) {
      ScanLoop loop = site.loops().get(i);
      WallPace pace = new WallPace(clock, periods.get(i));
      Thread thread = new Thread(() -> run(loop, pace), "scan-" + connections.get(i).name());
      thread.setUncaughtExceptionHandler(dead);
      paces.add(pace);
      threads.add(thread);
      thread.start();
    }
  }

  private void run(ScanLoop loop, WallPace pace) {
    Repeats errors = new Repeats();
    boolean first = true;
    for (Optional<Now> now = pace.awaitNext(); now.isPresent(); now = pace.awaitNext()) {
      round(loop, now.get(), pace, errors);
      if (first) {
        firstRounds.countDown();
        first = false;
      }
      if (stopping && loop.atRest()) {
        return;
      }
    }
  }

  /**
   * A round that ends in an exception writes no more heartbeats; the next one begins all the same.
   * An {@link Error} is let through: nothing is known of the process any more.
   */
  private void round(ScanLoop loop, Now now, WallPace pace, Repeats errors) {
    try {
      loop.round(now, pace.overruns(), pace.missed(), stopping);
      errors.recovered().ifPresent(text -> LOG.info("{}: {}", loop.line().name(), text));
    } catch (RuntimeException e) {
      errors
          .failed("a round ended in an error: " + e)
          .ifPresent(text -> LOG.error("{}: {}", loop.line().name(), text, e));
    }
  }

  /** Waits until every connection has run its first round. */
  public boolean awaitFirstRound(Duration atMost) throws InterruptedException {
    return firstRounds.await(atMost.toMillis(), TimeUnit.MILLISECONDS);
  }

  /** From the next round on, tanks leave command: abandon, follow to the end, book. */
  public void leaveCommand() {
    stopping = true;
  }

  /** Whether every order is settled. */
  public boolean atRest() {
    return site.loops().stream().allMatch(ScanLoop::atRest);
  }

  /** Takes a request for the tank, connection or site that it names; false if none takes it. */
  public boolean offer(Request request) {
    return site.offer(request);
  }

  /**
   * Mode of a tank; {@code off} for the names under which the alarms of connections and of the site
   * stand; empty if nothing bears this name.
   */
  public Optional<Mode> mode(TankId name) {
    boolean alarmsOnly =
        name.equals(Site.ALARM_NAME)
            || site.loops().stream().anyMatch(loop -> loop.line().name().equals(name));
    return alarmsOnly
        ? Optional.of(Mode.OFF)
        : runner(name).map(runner -> runner.state().dosing().mode());
  }

  private Optional<TankRunner> runner(TankId tank) {
    return site.loops().stream()
        .flatMap(loop -> loop.tanks().stream())
        .filter(runner -> runner.id().equals(tank))
        .findFirst();
  }

  /** Leaves command in good order if threads run, and closes the lines. The record stays open. */
  @Override
  public void close() {
    stopping = true;
    long until = System.nanoTime() + LEAVING_MAX.toNanos();
    threads.forEach(thread -> join(thread, until));
    paces.forEach(WallPace::stop);
    long last = System.nanoTime() + ROUND_ENDS_WITHIN.toNanos();
    threads.forEach(thread -> join(thread, last));
    if (!atRest()) {
      LOG.warn("an order is still open; it is settled at the next start");
    }
    // What the last rounds said is on the disk before faces tell it and the record is closed.
    record.append(List.of()).await(System.nanoTime() + STORED_WITHIN.toNanos());
    connections.forEach(Connection::close);
  }

  private static void join(Thread thread, long untilNanos) {
    try {
      thread.join(Math.max(1, TimeUnit.NANOSECONDS.toMillis(untilNanos - System.nanoTime())));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
