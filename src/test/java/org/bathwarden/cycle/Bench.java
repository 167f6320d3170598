package org.bathwarden.cycle;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
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
import org.bathwarden.dosing.ProcedureGuide;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.dosing.TankSight;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.signal.SignalState;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.Supply;

/**
 * Whole passes beside the tank and PLC of {@link BenchPlant}, without sockets, and what came of
 * them.
 */
final class Bench extends BenchPlant {
  final List<Fact> facts = new ArrayList<>();
  final List<LineWrite> writes = new ArrayList<>();
  final List<AlarmChange> changes = new ArrayList<>();
  boolean stopping;

  Set<Supply> granted = Set.of(Plant.DRUM, Plant.MAIN);
  Surroundings around = new Surroundings(true, Set.of(), 0, false, false);
  Set<AlarmKey> causesElsewhere = Set.of();

  /** What is made of each input before the pass sees it. */
  UnaryOperator<PassInput> spoilt = UnaryOperator.identity();

  /** How often a fast loss was seen and not seen any more. */
  int lossSeenAndGone;

  TankState state;
  TankState before;
  PassResult last;
  PassInput lastInput;
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
    super(sheet, volumeL, pct);
    this.state =
        new TankState(
            SignalState.initial(Plant.T0),
            Estimator.start(sheet.estimator(), Plant.T0),
            Watches.START,
            DosingState.first(sheet.dosing(), sheet.tank(), BathState.IN_USE, Plant.T0),
            AlarmState.initial(Plant.TANK),
            Logbook.EMPTY,
            TankState.Kept.NEVER);
    this.before = state;
    this.lastInput = input(List.of());
    this.last = Pass.run(sheet, state, lastInput);
    take();
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

  void run(int seconds) {
    for (int i = 0; i < seconds; i++) {
      pass(1);
    }
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
