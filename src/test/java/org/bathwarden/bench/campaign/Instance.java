package org.bathwarden.bench.campaign;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.bench.campaign.FlakyRecord.Durable;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.TankState;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.face.Request;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.service.Audience;
import org.bathwarden.service.Graph;
import org.bathwarden.service.SteadyClock;
import org.bathwarden.service.TankRunner;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.TankId;

/**
 * One controller as a process: started on its record, run round by round, killed by being
 * forgotten, started again by whoever supervises it.
 */
final class Instance implements Audience {

  private static final int PERIOD_MS = 1000;
  private static final Set<AlarmLife> STANDING =
      EnumSet.of(AlarmLife.UNACKNOWLEDGED, AlarmLife.ACKNOWLEDGED);

  private final Plant plant;
  private final Troubles troubles;
  private final Effects effects;
  private final int number;
  private final List<Configuration.Tank> tanks;
  private final Path file;
  private final Seams seams;
  private final Broker broker;
  private final Consumer<String> teller;
  private final List<Durable> durable = new ArrayList<>();
  private final List<Shown> alarms = new ArrayList<>();
  private final Map<TankId, PassResult> last = new HashMap<>();
  private final Map<Fact.Event, Long> firstMs = new IdentityHashMap<>();
  private final List<Answered> answers = new ArrayList<>();
  private final Standings standings = new Standings();
  private Optional<Graph> graph = Optional.empty();
  private Optional<FlakyRecord> record = Optional.empty();
  private Optional<Record> seen = Optional.empty();
  private Optional<SteadyClock> clock = Optional.empty();
  private long downUntilMs;
  private long nextRoundMs;
  private int overruns;
  private long missed;
  private final List<Long> starts = new ArrayList<>();
  private final List<Long> kills = new ArrayList<>();
  private boolean busy;

  /** What became of an entry, and the plant's time, ms. */
  record Answered(Entry entry, boolean accepted, long atMs) {}

  /** An alarm change as it was shown, and the plant's time, ms. */
  record Shown(AlarmChange change, long atMs) {}

  Instance(
      Plant plant,
      Troubles troubles,
      int number,
      List<Configuration.Tank> tanks,
      Path file,
      Seams seams,
      Consumer<String> teller) {
    this.plant = plant;
    this.troubles = troubles;
    this.effects = new Effects(plant, troubles, number, tanks);
    this.number = number;
    this.tanks = tanks;
    this.file = file;
    this.seams = seams;
    this.teller = teller;
    this.broker = new Broker(troubles);
  }

  /**
   * A round, if one is due and none is under way; starts the process if it is down and may be
   * started.
   */
  void second() {
    if (busy || plant.nowMs() < downUntilMs) {
      return;
    }
    busy = true;
    try {
      if (graph.isEmpty()) {
        start();
      }
      round();
      if (seen.isPresent()) {
        broker.visit(seen.get(), plant.nowMs(), effects);
      }
    } catch (Crash crash) {
      kills.add(plant.nowMs());
      teller.accept(plant.nowMs() + " #" + number + " killed");
      downUntilMs = plant.nowMs() + crash.downMs;
      forget();
    } finally {
      busy = false;
    }
  }

  private void start() {
    if (effects.struck() && troubles.on(StrikeKind.READ_ONLY)) {
      // The store refuses to open; the supervisor tries again.
      return;
    }
    try {
      FlakyRecord flaky =
          new FlakyRecord(SqliteRecord.open(file), plant, troubles, effects, durable);
      record = Optional.of(flaky);
      Record given = seams.record(flaky);
      seen = Optional.of(given);
      Instant notBefore = given.latest().map(Now::steady).orElse(Instant.EPOCH);
      SteadyClock steady = new SteadyClock(new WallClock(), this::nanos, notBefore);
      Port port = new Port(plant, troubles, effects, number, tanks);
      clock = Optional.of(steady);
      graph =
          Optional.of(
              new Graph(
                  tanks,
                  seams.reader(port),
                  seams.writers(port::writer),
                  port::stopper,
                  given,
                  this,
                  this::nanos,
                  steady.now()));
      nextRoundMs = plant.nowMs();
      starts.add(plant.nowMs());
      for (int tank = 0; tank < tanks.size(); tank++) {
        standings.started(tanks.get(tank).id(), state(tank).dosing(), durable, plant.nowMs());
      }
      teller.accept(plant.nowMs() + " #" + number + " started");
      overruns = 0;
    } catch (RecordException e) {
      throw new IllegalStateException(e);
    }
  }

  private void round() {
    if (graph.isEmpty() || plant.nowMs() < nextRoundMs) {
      return;
    }
    long late = (plant.nowMs() - nextRoundMs) / PERIOD_MS;
    missed += late;
    overruns = late > 0 ? overruns + 1 : 0;
    nextRoundMs += (late + 1) * PERIOD_MS;
    graph.get().round(clock.orElseThrow().now(), overruns, missed);
    record.ifPresent(FlakyRecord::writeWhatIsOld);
  }

  private void forget() {
    graph = Optional.empty();
    record.ifPresent(Record::close);
    record = Optional.empty();
    seen = Optional.empty();
    if (effects.struck()) {
      troubles.processGone();
    }
  }

  /** Ends it in good order for the disk, not for the line. */
  void close() {
    record.ifPresent(FlakyRecord::writeAll);
    forget();
  }

  private long nanos() {
    return plant.nowMs() * 1_000_000;
  }

  private Instant wall() {
    return plant.now().plusMillis(troubles.wallAheadMs());
  }

  private final class WallClock extends Clock {
    @Override
    public ZoneId getZone() {
      return ZoneOffset.UTC;
    }

    @Override
    public Clock withZone(ZoneId zone) {
      return this;
    }

    @Override
    public Instant instant() {
      return wall();
    }
  }

  /** Someone enters something; lost if the process is down. */
  void enter(Entry entry) {
    graph.ifPresent(
        g ->
            g.offer(
                new Request(
                    entry,
                    (accepted, text) -> {
                      answers.add(new Answered(entry, accepted, plant.nowMs()));
                    })));
  }

  Instant wallNow() {
    return wall();
  }

  /** Whether it was started, for the first time or again, between these times, ms. */
  boolean startedWithin(long fromMs, long byMs) {
    return starts.stream().anyMatch(at -> at >= fromMs - 1 && at <= byMs);
  }

  /** Whether it had the line before that time, ms. */
  boolean wasHolderBefore(long ms) {
    return durable.stream()
        .anyMatch(
            d ->
                d.atMs() < ms
                    && d.event() instanceof Fact.Dosed dosed
                    && dosed.event() instanceof DosingEvent.EpochHeld);
  }

  boolean up() {
    return graph.isPresent();
  }

  int number() {
    return number;
  }

  int crashes() {
    return kills.size();
  }

  /** When it was killed, ms. */
  List<Long> kills() {
    return kills;
  }

  /** What became of what was entered. */
  List<Answered> answers() {
    return answers;
  }

  /** Where procedures and baths stood after each start. */
  Standings standings() {
    return standings;
  }

  List<Configuration.Tank> tanks() {
    return tanks;
  }

  Path file() {
    return file;
  }

  Broker broker() {
    return broker;
  }

  Optional<Record> record() {
    return record.map(r -> r);
  }

  TankState state(int tank) {
    return graph.orElseThrow().state(tank);
  }

  Optional<PassResult> last(int tank) {
    return Optional.ofNullable(last.get(tanks.get(tank).id()));
  }

  /** Events that were reported durable, in their order. */
  List<Durable> durable() {
    return durable;
  }

  List<Shown> alarms() {
    return alarms;
  }

  /** When it happened, ms: a record that failed may have taken it in much later. */
  long happenedMs(Durable durable) {
    return firstMs.getOrDefault(durable.event(), durable.atMs());
  }

  /** Whether this alarm stood, or was raised, between these times, ms. */
  boolean stood(AlarmKey key, long fromMs, long byMs) {
    boolean stands = false;
    for (Shown shown : alarms) {
      if (shown.change().definition().key() != key) {
        continue;
      }
      if (shown.atMs() > byMs) {
        break;
      }
      // It stood before already, and was seen: that a person ends it within the time is no matter.
      if (shown.atMs() > fromMs && stands) {
        return true;
      }
      // Also one that was hidden by its cause and is shown now that this is gone.
      stands = STANDING.contains(shown.change().to());
      if (shown.atMs() >= fromMs && stands) {
        return true;
      }
    }
    return stands;
  }

  @Override
  public void passed(TankRunner.Passed passed, boolean stored) {
    last.put(passed.tank().sheet().tank().id(), passed.result());
    standings.passed(passed.result());
    passed.result().alarms().forEach(this::show);
    for (Fact fact : passed.result().facts()) {
      if (fact instanceof Fact.Event event && !(event instanceof Fact.Alarmed)) {
        firstMs.put(event, plant.nowMs());
        teller.accept(plant.nowMs() + " #" + number + " " + event);
      }
    }
  }

  @Override
  public void watched(AlarmState state, List<AlarmChange> changes, boolean stored, Now now) {
    changes.forEach(this::show);
  }

  private void show(AlarmChange change) {
    alarms.add(new Shown(change, plant.nowMs()));
    teller.accept(plant.nowMs() + " #" + number + " " + change.eventId() + " " + change.what());
  }
}
