package org.bathwarden.dosing;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.bathwarden.estimate.Certainty;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Link;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.line.WriteResult;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.Supply;

/**
 * The invented tank of {@link Plant} with a PLC, run through whole passes of dosing, one a second.
 * Its bath is known well; what flows in makes it stronger.
 */
final class DosingWorld {

  static final Supply DRUM = new Supply("drum-1");

  final ContractPlc plc = new ContractPlc();
  final List<DosingEvent> events = new ArrayList<>();
  final List<LineWrite> writes = new ArrayList<>();
  private final long startTotalMl = plc.totalMl;
  private final DosingSettings settings;
  DosingState state;
  Set<Supply> granted = Set.of(DRUM);
  double startPct = 8.5;
  double handPouredL;
  boolean levelGood = true;
  boolean stopping;
  boolean recordHealthy = true;
  DosingStep last;

  /** Titrations that wait to be confirmed, and what the bath is with them. */
  final List<String> waiting = new ArrayList<>();

  /** What is remembered since two days before the start. */
  final Map<String, Entry> remembered = new HashMap<>();

  double lowestLevelL = 995;

  private final Past past =
      new Past() {
        @Override
        public Instant since() {
          return Plant.T0.minusSeconds(48 * 3600);
        }

        @Override
        public Optional<Entry> entered(String id) {
          return Optional.ofNullable(remembered.get(id));
        }

        @Override
        public double lowestLevelL(Instant from, Instant to) {
          return lowestLevelL;
        }
      };

  OptionalDouble toldPct = OptionalDouble.empty();
  private List<Entry> entries = new ArrayList<>();
  private List<TitrationVerdict> verdicts = new ArrayList<>();
  private List<WriteOutcome> outcomes = List.of();
  private double seenMl = startTotalMl;
  private long second;
  private int ids;

  DosingWorld(Mode mode) {
    Map<Product, Delivery> deliveries = new EnumMap<>(Product.class);
    deliveries.put(Product.CONCENTRATE, new Delivery(Set.of(DRUM), true, 0.05));
    DosingLimits limits =
        DosingLimits.defaults(Plant.SHEET, new Metering(10, 6), new Metering(100, 20));
    settings =
        new DosingSettings(
            Pair.alone(3),
            mode,
            limits,
            CauseAndEffect.standard(),
            Set.of(),
            deliveries,
            ProofPlan.exempt("a test PLC"));
    state = DosingState.first(settings, Plant.SHEET, BathState.IN_USE, Plant.T0);
    last = pass();
  }

  Now now() {
    return Now.at(Plant.T0.plusSeconds(second));
  }

  void run(int passes) {
    for (int i = 0; i < passes; i++) {
      last = pass();
    }
  }

  private DosingStep pass() {
    Now now = now();
    Intake.Admitted admitted = Intake.admit(settings, Plant.SHEET, state, past, entries, now);
    for (Entry entry : admitted.entries()) {
      handPouredL += entry instanceof Entry.Addition a && !a.metered() ? a.litres() : 0;
    }
    DosingStep step =
        Dosing.run(settings, Plant.SHEET, admitted.after(), input(admitted.entries(), now));
    entries = new ArrayList<>();
    verdicts = new ArrayList<>();
    state = step.after();
    events.addAll(admitted.events());
    events.addAll(step.events());
    writes.addAll(step.writes());
    outcomes = step.writes().stream().map(this::write).toList();
    tick();
    return step;
  }

  private void tick() {
    for (int i = 0; i < ContractPlc.TICKS_PER_S; i++) {
      plc.tick();
    }
    second++;
  }

  /** The process is gone for so long, and another goes on with what it kept. */
  void restart(int seconds) {
    for (int i = 0; i < seconds; i++) {
      tick();
    }
    state = state.restarted();
  }

  private WriteOutcome write(LineWrite write) {
    if (write instanceof LineWrite.Beat beat) {
      plc.writeBeat(beat.heartbeat(), beat.epoch());
    } else if (write instanceof LineWrite.Abandon abandon) {
      plc.writeAbandon(abandon.upTo());
    } else if (write instanceof LineWrite.ClaimEpoch claim) {
      plc.writeClaim(0);
      plc.writeClaim(claim.epoch());
    } else if (write instanceof LineWrite.Submit submit) {
      plc.writeBlock(submit.block());
      plc.writeCommit(submit.block().number());
    }
    return new WriteOutcome(write, WriteResult.DONE);
  }

  /** What flowed in since the start, by meter or hand, L. */
  double flowedL() {
    return plc.flowedMl / 1000.0 + handPouredL;
  }

  /** 1000 L with so much added and as much carried out: each litre brings (S − C)/V, S = 100 %. */
  double concentrationPct() {
    return startPct + flowedL() * (100 - startPct) / 1000;
  }

  private DosingInput input(List<Entry> admitted, Now now) {
    Map<Point, Reading> points = new EnumMap<>(Point.class);
    points.put(
        Point.LEVEL,
        levelGood
            ? Reading.good(995, now.steady())
            : Reading.bad(Quality.Reason.NOT_A_NUMBER, now.steady()));
    points.put(Point.TEMPERATURE, Reading.good(20, now.steady()));
    points.put(Point.CONDUCTIVITY, Reading.good(40, now.steady()));
    points.put(Point.PH, Reading.good(12, now.steady()));
    points.put(Point.CONCENTRATE_TOTAL, Reading.good(plc.totalMl, now.steady()));
    points.put(Point.WATER_TOTAL, Reading.good(0, now.steady()));
    points.put(Point.LOADS_TOTAL, Reading.good(0, now.steady()));
    double flowedMl = (plc.totalMl - seenMl + 4_294_967_296.0) % 4_294_967_296.0;
    seenMl = plc.totalMl;
    double levelL = levelGood ? 995 : Double.NaN;
    return new DosingInput(
        new TankImage(
            Plant.TANK,
            now.steady(),
            new Link(true, "", Plant.T0),
            Optional.of(plc.words()),
            points),
        new Signals(now.steady(), points, levelL, flowedMl, 0, 0, false, true, levelGood),
        estimate(now.steady(), toldPct.orElse(concentrationPct())),
        estimate(now.steady(), concentrationPct()),
        waiting,
        verdicts,
        Set.of(),
        admitted,
        outcomes,
        stopping,
        new Surroundings(recordHealthy, granted, 0, false, false),
        now);
  }

  private Estimate estimate(Instant at, double pct) {
    return new Estimate(
        at,
        pct,
        pct - 0.4,
        pct + 0.4,
        0.2,
        995,
        3,
        0,
        0.1,
        0.02,
        1,
        0.1,
        1,
        1,
        0,
        new Certainty(1, 0, 0),
        Optional.empty(),
        Set.of());
  }

  Stamp stamp(String author, Stamp.Channel channel) {
    return new Stamp("e" + ids++, Plant.TANK, author, channel, now().wall(), now().wall());
  }

  Stamp stamp(String author) {
    return stamp(author, Stamp.Channel.CONSOLE);
  }

  /** Takes an entry with the next pass. */
  void enter(Entry entry) {
    entries.add(entry);
    run(1);
  }

  /** A titration, and the verdict on it in the same pass. */
  void titrate(double pct, org.bathwarden.estimate.Verdict verdict, Stamp.Channel channel) {
    Stamp stamp = stamp("C. Chemist", channel);
    verdicts.add(
        new TitrationVerdict(
            stamp.id(),
            now().steady(),
            pct,
            pct,
            0.2,
            concentrationPct(),
            0.3,
            verdict,
            stamp.vouched()));
    if (!stamp.vouched()) {
      waiting.add(stamp.id());
    }
    enter(
        new Entry.Titration(
            stamp, pct, Entry.Titration.Unit.PCT, org.bathwarden.tank.EndPoint.FREE, 0.2, ""));
  }

  void titrate() {
    titrate(concentrationPct(), org.bathwarden.estimate.Verdict.ACCEPTED, Stamp.Channel.CONSOLE);
  }

  void runUntil(java.util.function.BooleanSupplier goal) {
    for (int i = 0; i < 3600 && !goal.getAsBoolean(); i++) {
      run(1);
    }
    if (!goal.getAsBoolean()) {
      throw new AssertionError("never came to it: " + last.decision() + events);
    }
  }

  <T extends DosingEvent> List<T> events(Class<T> kind) {
    return events.stream().filter(kind::isInstance).map(kind::cast).toList();
  }

  List<String> refusals() {
    return events(DosingEvent.EntryRefused.class).stream()
        .map(DosingEvent.EntryRefused::reason)
        .toList();
  }

  double bookedL() {
    return state.ledger().withinL(Product.CONCENTRATE, Duration.ofHours(48), now().steady());
  }
}
