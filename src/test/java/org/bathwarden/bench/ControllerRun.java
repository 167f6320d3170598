package org.bathwarden.bench;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.time.DayOfWeek;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.BiConsumer;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Logbook;
import org.bathwarden.cycle.Pass;
import org.bathwarden.cycle.PassInput;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.TankState;
import org.bathwarden.cycle.Watches;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.InterlockState;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.FakeLine;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.signal.SignalState;
import org.bathwarden.simulator.physics.TankType;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.policy.Disturbance;
import org.bathwarden.simulator.policy.Score;
import org.bathwarden.simulator.policy.Titrator;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.simulator.scenario.ShopFloor;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.Supply;
import org.bathwarden.tank.TankId;

/**
 * The whole controller at work on one disturbance, the simulated floor and PLC, the controller's
 * own port and passes, no sockets and no record. People titrate at 07:00, repeat what the
 * controller does not accept, book a cleaned probe, and on their morning round reset what has
 * tripped and return the tank to command mode. One thread.
 */
final class ControllerRun {

  private static final ThreadMXBean CPU = ManagementFactory.getThreadMXBean();
  private static final Duration SECOND = Duration.ofSeconds(1);
  private static final Duration ENTERED_AFTER = Duration.ofMinutes(5);
  private static final int TITRATION_AT_S = 7 * 3600;
  private static final int ROUND_AT_S = TITRATION_AT_S + 1800;
  private static final int REPEAT_AFTER_S = 900;
  private static final int REPEATS = 2;
  private static final int DAY_S = 86_400;
  private static final int ANSWERED_EACH_S = 600;
  private static final int SHIFTS_FROM_H = 6;
  private static final int SHIFTS_TO_H = 22;

  /** Time to respond to a reached cap, by the alarm catalogue. */
  private static final Duration ANSWERED_WITHIN = Duration.ofHours(1);

  private static final int LIMIT_TIME_S = 1200;

  private final Disturbance site;
  private final Configuration.Tank tank;
  private final ShopFloor floor;
  private final FakeLine line;
  private final LineWriter writer;
  private final Titrator titrator;
  private final Set<Supply> granted;
  private final Score score;
  private final Watched watched = new Watched();
  private final List<Entry> entries = new ArrayList<>();
  private final Map<Long, Runnable> later = new TreeMap<>();
  private TankState state;
  private List<WriteOutcome> written = List.of();
  private int repeatsLeft;
  private int ids;
  private long second;

  /** What else is worth knowing of a run. */
  static final class Watched {
    int titrations;
    int repeats;
    int resets;
    int orders;
    long passes;
    long passNanos;
    double squares;
    long covered;
    final Map<String, Integer> trips = new TreeMap<>();

    double usPerPass() {
      return passNanos / 1e3 / passes;
    }
  }

  /** How it came out. */
  record Outcome(Score score, Watched watched) {}

  private ControllerRun(Disturbance site) {
    this.site = site;
    this.tank = Site.tank(site.name());
    this.floor = new ShopFloor(site.scenario(), site.scenario().seed());
    TankId id = tank.id();
    this.line = new FakeLine(floor, List.of(plc(site.scenario()))).tanks(Map.of(id, tank.items()));
    this.writer = line.writer(id);
    this.titrator = new Titrator(floor, site.scenario().seed(), true);
    this.score = new Score(site.targetPct());
    this.granted = new HashSet<>();
    tank.sheet().dosing().deliveries().values().forEach(d -> granted.addAll(d.supplies()));
    Instant start = floor.now();
    this.state =
        new TankState(
            SignalState.initial(start),
            Estimator.start(tank.sheet().estimator(), start),
            Watches.START,
            DosingState.first(tank.sheet().dosing(), tank.sheet().tank(), tank.firstState(), start),
            AlarmState.initial(id),
            Logbook.EMPTY,
            TankState.Kept.NEVER);
  }

  /**
   * Runs {@code hours} hours of {@code site}.
   *
   * @param scanS a pass each so many seconds, 1 or 2; from 3 on the PLC would count as lost
   * @param trail sees the truth and each pass
   */
  static Outcome run(Disturbance site, int hours, int scanS, BiConsumer<Truth, PassResult> trail) {
    return new ControllerRun(site).run(hours, scanS, trail);
  }

  /** The PLC's own limits, well apart from the controller's. */
  static PlcConfig plc(Scenario scenario) {
    TankType type = scenario.plant(0).type();
    double workingMl = 1000 * type.geometry().workingL();
    return new PlcConfig(
        1,
        supply("pump", type.concentrate(), 0.01 * workingMl, 0.1 * workingMl),
        supply("valve", type.water(), 0.05 * workingMl, 0.6 * workingMl),
        LIMIT_TIME_S,
        (type.geometry().maxL() + type.geometry().floatL()) / 2,
        true);
  }

  private static PlcConfig.Supply supply(
      String name, TankType.Line line, double limitMl, double dailyMl) {
    return new PlcConfig.Supply(
        name,
        line.ratedLPerMin() * 1000 / 60,
        (int) Math.round(line.mlPerPulse()),
        Math.round(limitMl),
        Math.round(dailyMl));
  }

  private Outcome run(int hours, int scanS, BiConsumer<Truth, PassResult> trail) {
    int startS = site.scenario().start().toLocalTime().toSecondOfDay();
    site.probeCleanedAt()
        .ifPresent(
            at ->
                later.put(
                    at.plus(ENTERED_AFTER).toSeconds(),
                    () ->
                        entries.add(
                            new Entry.ProbeCare(stamp(ENTERED_AFTER), "conductivity", false))));
    for (second = 1; second <= hours * 3600L; second++) {
      line.advance(SECOND);
      long ofDay = (startS + second) % DAY_S;
      if (ofDay == TITRATION_AT_S) {
        repeatsLeft = REPEATS;
        titrate(titrator.morning());
      } else if (ofDay == ROUND_AT_S) {
        morningRound();
      }
      if (second % ANSWERED_EACH_S == 0) {
        answerWaterCap();
      }
      Optional.ofNullable(later.remove(second)).ifPresent(Runnable::run);
      Truth truth = floor.truth(0);
      score.second(truth);
      if (second % scanS == 0) {
        PassResult result = pass();
        watch(truth, result);
        trail.accept(truth, result);
      }
    }
    return new Outcome(score, watched);
  }

  private PassResult pass() {
    Now now = Now.at(floor.now());
    Deadline patience = new Deadline(System.nanoTime() + 60_000_000_000L);
    TankImage image = line.read(List.of(tank.id()), now.steady(), patience).get(0);
    PassInput input =
        new PassInput(
            image,
            entries,
            written,
            false,
            new Surroundings(true, granted, 0, false, false),
            Set.of(),
            now);
    entries.clear();
    long start = CPU.getCurrentThreadCpuTime();
    PassResult result = Pass.run(tank.sheet(), state, input);
    watched.passNanos += CPU.getCurrentThreadCpuTime() - start;
    watched.passes++;
    state = result.after();
    written =
        result.writes().stream()
            .map(write -> new WriteOutcome(write, writer.write(write, patience)))
            .toList();
    return result;
  }

  private void titrate(int drops) {
    watched.titrations++;
    Instant drawn = floor.now();
    later.put(
        second + ENTERED_AFTER.toSeconds(),
        () ->
            entries.add(
                new Entry.Titration(
                    stamp(Duration.between(drawn, floor.now())),
                    drops,
                    Entry.Titration.Unit.DROPS,
                    EndPoint.FREE,
                    0,
                    "")));
  }

  /** What a person with the right to do so puts in order on the morning round. */
  private void morningRound() {
    Map<Cause, InterlockState.Memory> causes = state.dosing().interlocks().causes();
    causes.forEach(
        (cause, memory) -> {
          if (memory.trippedAt().isPresent()) {
            watched.resets++;
            entries.add(new Entry.TripReset(stamp(Duration.ZERO), cause.key(), Role.ENGINEER));
          }
        });
    if (state.dosing().mode() != Mode.COMMAND) {
      entries.add(new Entry.ModeRequest(stamp(Duration.ZERO), Mode.COMMAND));
    }
  }

  /** The operator on shift looks for a leak and resets the water's cap, in the time it asks for. */
  private void answerWaterCap() {
    OffsetDateTime now = floor.now().atOffset(site.scenario().start().getOffset());
    boolean staffed =
        now.getDayOfWeek().getValue() <= DayOfWeek.FRIDAY.getValue()
            && now.getHour() >= SHIFTS_FROM_H
            && now.getHour() < SHIFTS_TO_H;
    Optional.ofNullable(state.dosing().interlocks().causes().get(Cause.WATER_CAP_LONG))
        .flatMap(InterlockState.Memory::trippedAt)
        .filter(since -> staffed && !floor.now().isBefore(since.plus(ANSWERED_WITHIN)))
        .ifPresent(
            since -> {
              watched.resets++;
              String cause = Cause.WATER_CAP_LONG.key();
              entries.add(new Entry.TripReset(stamp(Duration.ZERO), cause, Role.OPERATOR));
            });
  }

  private void watch(Truth truth, PassResult result) {
    var estimate = result.view().estimate();
    watched.squares += Math.pow(estimate.concentrationPct() - truth.concentrationPct(), 2);
    boolean inside =
        truth.concentrationPct() >= estimate.low95Pct()
            && truth.concentrationPct() <= estimate.high95Pct();
    watched.covered += inside ? 1 : 0;
    for (Fact fact : result.facts()) {
      if (fact instanceof Fact.TitrationJudged judged
          && !judged.verdict().verdict().accepted()
          && repeatsLeft-- > 0) {
        watched.repeats++;
        later.put(second + REPEAT_AFTER_S, () -> titrate(titrator.repeated()));
      } else if (fact instanceof Fact.Dosed dosed) {
        watched.orders += dosed.event() instanceof DosingEvent.OrderClosed ? 1 : 0;
        if (dosed.event() instanceof DosingEvent.Tripped tripped) {
          watched.trips.merge(tripped.interlock(), 1, Integer::sum);
        }
      }
    }
  }

  private Stamp stamp(Duration ago) {
    Instant now = floor.now();
    return new Stamp(
        "bench-" + ids++,
        tank.id(),
        "chemist on shift",
        Stamp.Channel.CONSOLE,
        now,
        now.minus(ago));
  }
}
