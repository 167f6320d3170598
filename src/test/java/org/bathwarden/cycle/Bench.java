package org.bathwarden.cycle;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.BooleanSupplier;
import java.util.function.UnaryOperator;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.alarm.AlarmStatus;
import org.bathwarden.alarm.Happening;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Metering;
import org.bathwarden.dosing.ProcedureGuide;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.dosing.TankSight;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Link;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.line.WriteResult;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.signal.SignalState;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.Plc;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.Supply;

/**
 * The tank of {@link Plant} with the simulator's PLC program, run through whole passes without
 * sockets. The tank itself is as plain as can be: what flows in mixes at once, and the test says
 * what leaves, what is measured and which permits are given.
 */
final class Bench {

  static final int ALL_PERMITS = 0x1FF;
  private static final int SCANS_PER_S = 10;

  Sheet sheet;
  final List<Fact> facts = new ArrayList<>();
  final List<LineWrite> writes = new ArrayList<>();
  final List<AlarmChange> changes = new ArrayList<>();
  final Map<Point, Reading> shown = new EnumMap<>(Point.class);

  // what a test may set
  double volumeL = 1000;
  double alkaliL = 100;
  double temperatureC = 20;
  double ph = 12;
  double drumPct = 100;
  double litresLostPerS;
  double strayMlPerS;
  long loads;
  int permits = ALL_PERMITS;
  int sensorFaults;
  int panelKind;
  boolean contactorStuck;
  boolean linkUp = true;
  boolean pumpWorks = true;
  boolean valveWorks = true;
  boolean hoseOff;
  double meterShare = 1;
  boolean stopping;

  /** What the PLC's words are made to say. */
  UnaryOperator<PlcWords> lies = UnaryOperator.identity();

  Set<Supply> granted = Set.of(Plant.DRUM, Plant.MAIN);
  Surroundings around = new Surroundings(true, Set.of(), 0, false, false);
  Set<AlarmKey> causesElsewhere = Set.of();
  Duration wallAhead = Duration.ZERO;

  /** What is made of each input before the pass sees it. */
  UnaryOperator<PassInput> spoilt = UnaryOperator.identity();

  /** How often a fast loss was seen and not seen any more. */
  int lossSeenAndGone;

  TankState state;
  TankState before;
  PassResult last;
  PassInput lastInput;
  private final Plc plc;
  private final Metering concentrateMeter;
  private final Metering waterMeter;
  private Actuators outputs = Actuators.OFF;
  private double concentrateMl;
  private double waterMl;
  private long countedConcentrateMl;
  private long countedWaterMl;
  private long millis;
  private int ids;
  private List<Entry> entries = new ArrayList<>();
  private List<WriteOutcome> written = List.of();

  Bench(Mode mode) {
    this(Plant.sheet(mode));
  }

  Bench(Sheet sheet) {
    this(sheet, 1000, 10);
  }

  /** A bench whose tank begins with so much liquid, so strong. */
  Bench(Sheet sheet, double volumeL, double pct) {
    this.sheet = sheet;
    this.volumeL = volumeL;
    this.alkaliL = pct * volumeL / 100;
    this.state =
        new TankState(
            SignalState.initial(Plant.T0),
            Estimator.start(sheet.estimator(), Plant.T0),
            Watches.START,
            DosingState.first(sheet.dosing(), sheet.tank(), BathState.IN_USE, Plant.T0),
            AlarmState.initial(Plant.TANK),
            Logbook.EMPTY,
            TankState.Kept.NEVER);
    this.concentrateMeter = sheet.dosing().limits().concentrateMeter();
    this.waterMeter = sheet.dosing().limits().waterMeter();
    this.plc =
        new Plc(
            List.of(
                new PlcConfig(
                    1,
                    supply("pump", concentrateMeter, 20_000, 400_000),
                    supply("valve", waterMeter, 100_000, 900_000),
                    1200,
                    1140,
                    true)));
    scans(SCANS_PER_S);
    this.before = state;
    this.lastInput = input(List.of());
    this.last = Pass.run(sheet, state, lastInput);
    take();
  }

  private static PlcConfig.Supply supply(
      String name, Metering meter, int largestOrderMl, int dailyMl) {
    return new PlcConfig.Supply(
        name, Plant.mlPerS(meter), (int) meter.mlPerPulse(), largestOrderMl, dailyMl);
  }

  /** A bench whose bath was titrated and whose PLC obeys this controller. */
  static Bench ready(Mode mode) {
    return new Bench(mode).ready();
  }

  /** This bench, once its bath was titrated and its PLC obeys this controller. */
  Bench ready() {
    run(10);
    titrate();
    coarse(Duration.ofSeconds(150), 2);
    return this;
  }

  Now now() {
    return new Now(Plant.T0.plusMillis(millis), Plant.T0.plusMillis(millis).plus(wallAhead));
  }

  double truePct() {
    return 100 * alkaliL / volumeL;
  }

  /** Puts another past behind the tank, where living through it would take hours. */
  void past(UnaryOperator<DosingState> other) {
    state =
        new TankState(
            state.signal(),
            state.estimate(),
            state.watches(),
            other.apply(state.dosing()),
            state.alarm(),
            state.logbook(),
            state.kept());
  }

  /** Puts another watch over a new lot's response behind the tank. */
  void watching(ResponseWatch other) {
    state =
        new TankState(
            state.signal(),
            state.estimate(),
            new Watches(state.watches().loss(), other, state.watches().rise(), Optional.empty()),
            state.dosing(),
            state.alarm(),
            state.logbook(),
            state.kept());
  }

  /** Makes the bath {@code pct} strong, unseen. */
  void strength(double pct) {
    alkaliL = pct * volumeL / 100;
  }

  void run(int seconds) {
    for (int i = 0; i < seconds; i++) {
      pass(1);
    }
  }

  /**
   * Fills or empties the tank to {@code litres}, unseen, and leaves the bath as strong as it is.
   */
  void level(double litres) {
    alkaliL *= litres / volumeL;
    volumeL = litres;
  }

  /** Makes the bath {@code pct} strong, and has it titrated twice. */
  void believe(double pct) {
    strength(pct);
    titrate();
    coarse(Duration.ofSeconds(60), 2);
    titrate();
    run(2);
  }

  /**
   * Lets time pass with a pass every {@code stepS}, for what takes hours. From 3 s on the line
   * counts as reconnected at each of them, so that nothing is dosed.
   */
  void coarse(Duration time, int stepS) {
    for (long s = 0; s < time.toSeconds(); s += stepS) {
      pass(stepS);
    }
  }

  void until(int seconds, BooleanSupplier goal) {
    for (int i = 0; i < seconds && !goal.getAsBoolean(); i++) {
      pass(1);
    }
    if (!goal.getAsBoolean()) {
      throw new AssertionError(
          "did not come within "
              + seconds
              + " s: "
              + last.view().decision()
              + last.view().verdict()
              + estimate());
    }
  }

  private void pass(int seconds) {
    // The PLC and the tank live through two seconds at most; longer steps only let time go by.
    int lived = Math.min(seconds, 2);
    scans(lived * SCANS_PER_S);
    millis += 1000L * (seconds - lived);
    List<Entry> taken = entries;
    entries = new ArrayList<>();
    lastInput = spoilt.apply(input(taken));
    before = state;
    last = Pass.run(sheet, state, lastInput);
    take();
  }

  private void take() {
    boolean seen = state.watches().loss().fast(sheet.tank().geometry());
    state = last.after();
    lossSeenAndGone += seen && !state.watches().loss().fast(sheet.tank().geometry()) ? 1 : 0;
    facts.addAll(last.facts());
    writes.addAll(last.writes());
    changes.addAll(last.alarms());
    written = last.writes().stream().map(this::carryOut).toList();
  }

  private void scans(int count) {
    double conductivity = conductivityMsCm();
    double pumpMlPerS = Plant.mlPerS(concentrateMeter);
    double valveMlPerS = Plant.mlPerS(waterMeter);
    for (int i = 0; i < count; i++) {
      boolean pump = outputs.concentratePump() || contactorStuck || panelKind == 1;
      double concentrate = pump && pumpWorks ? pumpMlPerS / SCANS_PER_S : 0;
      boolean open = outputs.waterValve() || panelKind == 2;
      double water = ((open && valveWorks ? valveMlPerS : 0) + strayMlPerS) / SCANS_PER_S;
      double lost = Math.min(litresLostPerS / SCANS_PER_S, volumeL / 2);
      alkaliL += (hoseOff ? 0 : concentrate) * drumPct / 100_000 - lost * alkaliL / volumeL;
      volumeL += (hoseOff ? 0 : concentrate + water) / 1000 - lost;
      concentrateMl += concentrate * meterShare;
      waterMl += water;
      countedConcentrateMl = pulses(concentrateMl, concentrateMeter);
      countedWaterMl = pulses(waterMl, waterMeter);
      millis += 1000 / SCANS_PER_S;
      outputs = plc.scan(List.of(field(conductivity, pump, open))).get(0);
    }
  }

  /** As the grid says, below its weakest solution in proportion. */
  private double conductivityMsCm() {
    double weakest = Plant.GRID.points().get(0).concentrationPct();
    return Math.min(1, truePct() / weakest)
        * Plant.GRID
            .conductivityMsCm(Math.max(weakest, truePct()), temperatureC)
            .orElse(Double.NaN);
  }

  private static long pulses(double ml, Metering meter) {
    long mlPerPulse = (long) meter.mlPerPulse();
    return (long) Math.floor((ml + 1e-6) / mlPerPulse) * mlPerPulse;
  }

  private FieldSignals field(double conductivityMsCm, boolean pump, boolean open) {
    return new FieldSignals(
        volumeL,
        temperatureC,
        conductivityMsCm,
        ph,
        countedConcentrateMl,
        countedWaterMl,
        loads,
        permits,
        sensorFaults,
        panelKind,
        pump,
        open);
  }

  private WriteOutcome carryOut(LineWrite write) {
    if (!linkUp) {
      return new WriteOutcome(write, WriteResult.NOT_SENT);
    }
    if (write instanceof LineWrite.Beat beat) {
      wire(
          Map.of(
              ToPlc.HEARTBEAT_EPOCH,
              beat.epoch(),
              ToPlc.CONTROLLER_HEARTBEAT,
              (long) beat.heartbeat()));
    } else if (write instanceof LineWrite.Abandon abandon) {
      wire(Map.of(ToPlc.ABANDON_TO, abandon.upTo()));
    } else if (write instanceof LineWrite.ClaimEpoch claim) {
      wire(Map.of(ToPlc.EPOCH_CONFIRM, 0L));
      scans(1);
      wire(Map.of(ToPlc.EPOCH_REQUEST, claim.epoch(), ToPlc.EPOCH_CONFIRM, claim.epoch()));
    } else if (write instanceof LineWrite.Submit submit) {
      var block = submit.block();
      wire(
          Map.of(
              ToPlc.ORDER_KIND, (long) block.product().orderKind(),
              ToPlc.ORDER_VOLUME_ML, block.volumeMl(),
              ToPlc.ORDER_TIME_LIMIT_S, (long) block.timeLimitS(),
              ToPlc.ORDER_NUMBER, block.number(),
              ToPlc.ORDER_EPOCH, block.epoch(),
              ToPlc.ORDER_BASIS, (long) block.basis(),
              ToPlc.ORDER_CHECK, (long) block.check(submit.tankNumber())));
      wire(Map.of(ToPlc.ORDER_COMMIT, block.number()));
    }
    return new WriteOutcome(write, WriteResult.DONE);
  }

  private void wire(Map<ToPlc, Long> items) {
    plc.wire(0).apply(items);
  }

  /** The PLC itself, for what people and other controllers do to it. */
  Plc plc() {
    return plc;
  }

  private PassInput input(List<Entry> taken) {
    Surroundings with =
        new Surroundings(
            around.recordHealthy(),
            granted,
            around.overruns(),
            around.clockJumped(),
            around.passFailed());
    return new PassInput(image(), taken, written, stopping, with, causesElsewhere, now());
  }

  private TankImage image() {
    PlcImage read = plc.memory(0).image();
    var at = now().steady();
    Map<Point, Reading> points = new EnumMap<>(Point.class);
    int faults = (int) read.get(FromPlc.FAULTS);
    points.put(Point.LEVEL, measured(read, FromPlc.LEVEL_L, faults, 0));
    points.put(Point.TEMPERATURE, measured(read, FromPlc.TEMPERATURE_C, faults, 1));
    points.put(Point.CONDUCTIVITY, measured(read, FromPlc.CONDUCTIVITY_MS_CM, faults, 2));
    points.put(Point.PH, measured(read, FromPlc.PH, faults, 3));
    points.put(Point.CONCENTRATE_TOTAL, Reading.good(read.get(FromPlc.CONCENTRATE_TOTAL_ML), at));
    points.put(Point.WATER_TOTAL, Reading.good(read.get(FromPlc.WATER_TOTAL_ML), at));
    points.put(Point.LOADS_TOTAL, Reading.good(read.get(FromPlc.LOADS_TOTAL), at));
    points.putAll(shown);
    if (!linkUp) {
      points.replaceAll((point, reading) -> Reading.bad(Quality.Reason.NO_LINK, at));
    }
    return new TankImage(
        Plant.TANK,
        at,
        new Link(linkUp, linkUp ? "" : "cut", Plant.T0),
        linkUp ? Optional.of(lies.apply(words(read))) : Optional.empty(),
        points);
  }

  private Reading measured(PlcImage read, FromPlc item, int faults, int bit) {
    double value = read.f32(item);
    var at = now().steady();
    if ((faults & (1 << bit)) != 0) {
      return Reading.bad(Quality.Reason.FAULT_DECLARED, at);
    }
    return Double.isFinite(value)
        ? Reading.good(value, at)
        : Reading.bad(Quality.Reason.NOT_A_NUMBER, at);
  }

  private static PlcWords words(PlcImage read) {
    return new PlcWords(
        (int) read.get(FromPlc.PLC_HEARTBEAT),
        (int) read.get(FromPlc.PERMITS),
        (int) read.get(FromPlc.FAULTS),
        (int) read.get(FromPlc.ORDER_STATE),
        read.get(FromPlc.ORDER_TAKEN),
        read.get(FromPlc.ORDER_DELIVERED_ML),
        (int) read.get(FromPlc.ORDER_REASON),
        read.get(FromPlc.ORDER_FINAL),
        read.get(FromPlc.REFUSED_NUMBER),
        (int) read.get(FromPlc.REFUSED_REASON),
        read.get(FromPlc.ABANDONED_TO),
        read.get(FromPlc.HOLDER_EPOCH),
        (int) read.get(FromPlc.HEARTBEAT_SEEN),
        read.get(FromPlc.LIMIT_CONCENTRATE_ML),
        read.get(FromPlc.LIMIT_WATER_ML),
        (int) read.get(FromPlc.LIMIT_TIME_S),
        (int) read.get(FromPlc.CONTRACT_VERSION),
        read.f32(FromPlc.CHECK_F32),
        read.get(FromPlc.CHECK_U32),
        (int) read.get(FromPlc.TANK_NUMBER));
  }

  void without(Permit permit) {
    permits &= ~permit.bit();
  }

  void with(Permit permit) {
    permits |= permit.bit();
  }

  Stamp stamp() {
    return stamp(Stamp.Channel.CONSOLE);
  }

  /** Of something that happened {@code ago}. */
  Stamp stamp(Duration ago) {
    Stamp now = stamp();
    return new Stamp(
        now.id(),
        now.tank(),
        now.author(),
        now.channel(),
        now.enteredAt(),
        now.happenedAt().minus(ago));
  }

  Stamp stamp(Stamp.Channel channel) {
    return new Stamp("e" + ids++, Plant.TANK, "A. Operator", channel, now().wall(), now().wall());
  }

  /** Gives an entry to the next pass. */
  void enter(Entry entry) {
    entries.add(entry);
  }

  /** A faultless titration of a sample drawn now. */
  Entry.Titration titrate() {
    return titrate(truePct());
  }

  Entry.Titration titrate(double pct) {
    return titrate(pct, Stamp.Channel.CONSOLE);
  }

  Entry.Titration titrate(double pct, Stamp.Channel channel) {
    Entry.Titration titration = titration(pct, stamp(channel));
    enter(titration);
    return titration;
  }

  static Entry.Titration titration(double pct, Stamp stamp) {
    return new Entry.Titration(stamp, pct, Entry.Titration.Unit.PCT, EndPoint.FREE, 0.15, "");
  }

  Estimate estimate() {
    return last.view().estimate();
  }

  /** What people are led through now. */
  List<ProcedureGuide> guides() {
    TankSight sight =
        TankSight.of(sheet.tank(), last.view().signals(), state.dosing().book().watch(), false);
    return ProcedureGuide.of(
        sheet.dosing(), sheet.tank(), state.dosing(), sight, estimate().concentrationPct());
  }

  /** Where the alarm stands, with what it says. */
  AlarmStatus said(AlarmKey key) {
    return state.alarm().status(key).orElseThrow();
  }

  long count(AlarmKey key, Happening what) {
    return changes.stream().filter(c -> c.definition().key() == key && c.what() == what).count();
  }

  AlarmLife life(AlarmKey key) {
    return state.alarm().life(key);
  }

  <T extends DosingEvent> List<T> events(Class<T> kind) {
    return facts.stream()
        .filter(Fact.Dosed.class::isInstance)
        .map(fact -> ((Fact.Dosed) fact).event())
        .filter(kind::isInstance)
        .map(kind::cast)
        .toList();
  }

  List<LineWrite.Submit> submits() {
    return writes.stream()
        .filter(LineWrite.Submit.class::isInstance)
        .map(LineWrite.Submit.class::cast)
        .toList();
  }

  List<String> refusals() {
    return facts.stream()
        .filter(Fact.EntryRefused.class::isInstance)
        .map(fact -> ((Fact.EntryRefused) fact).reason())
        .toList();
  }
}
