package org.bathwarden.bench;

import java.time.DayOfWeek;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Logbook;
import org.bathwarden.cycle.Pass;
import org.bathwarden.cycle.PassInput;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.cycle.TankState;
import org.bathwarden.cycle.Watches;
import org.bathwarden.dosing.ChargePlan;
import org.bathwarden.dosing.DosingSettings;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.ProcedureGuide;
import org.bathwarden.dosing.ProcedureSettings;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.dosing.TankSight;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.FakeLine;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.signal.SignalState;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.physics.LoadProfile;
import org.bathwarden.simulator.physics.Truth;
import org.bathwarden.simulator.policy.Disturbance;
import org.bathwarden.simulator.policy.Titrator;
import org.bathwarden.simulator.scenario.Deed;
import org.bathwarden.simulator.scenario.Fault;
import org.bathwarden.simulator.scenario.Scenario;
import org.bathwarden.simulator.scenario.ShopFloor;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.ProcedureStepDone.Told;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.Supply;
import org.bathwarden.tank.TankSheet;

/**
 * The whole controller, in command mode, beside the simulated floor and PLC, while people who do
 * what the guide says change the bath. No sockets, no record. One thread.
 */
final class ChangeOutRun {

  private static final Duration SECOND = Duration.ofSeconds(1);

  /** Nothing takes longer than this. */
  private static final int LONGEST_S = 12 * 3600;

  /** A litre a second from the hose. */
  private static final double HOSE_L = 1;

  private final Sheet sheet;
  private final ShopFloor floor;
  private final FakeLine line;
  private final LineWriter writer;
  private final Titrator titrator;
  private final Set<Supply> granted = new HashSet<>();
  private final List<Entry> entries = new ArrayList<>();
  private final List<Fact> facts = new ArrayList<>();
  private TankState state;
  private List<WriteOutcome> written = List.of();
  private Optional<PassResult> last = Optional.empty();
  private boolean changing;
  private boolean draining;
  private int orders;
  private int ids;
  private int waits;

  ChangeOutRun() {
    Configuration.Tank tank = Site.tank("plain");
    this.sheet = warmDrain(tank.sheet());
    Scenario scenario = quiet(Disturbance.named("plain").scenario());
    this.floor = new ShopFloor(scenario, scenario.seed());
    this.line =
        new FakeLine(floor, List.of(ControllerRun.plc(scenario)))
            .tanks(Map.of(tank.id(), tank.items()));
    this.writer = line.writer(tank.id());
    this.titrator = new Titrator(floor, scenario.seed(), false);
    sheet.dosing().deliveries().values().forEach(d -> granted.addAll(d.supplies()));
    Instant start = floor.now();
    this.state =
        new TankState(
            SignalState.initial(start),
            Estimator.start(sheet.estimator(), start),
            Watches.START,
            DosingState.first(sheet.dosing(), sheet.tank(), BathState.IN_USE, start),
            AlarmState.initial(tank.id()),
            Logbook.EMPTY,
            TankState.Kept.NEVER);
  }

  /** A site that drains below 55 °C, so that a test need not live through a night of cooling. */
  private static Sheet warmDrain(Sheet s) {
    DosingSettings d = s.dosing();
    DosingSettings warm =
        new DosingSettings(
            d.pair(),
            d.mode(),
            d.limits(),
            d.table(),
            d.constantPermits(),
            d.deliveries(),
            d.proofs(),
            new ProcedureSettings(Role.CHEMIST, 55, OptionalDouble.empty(), 0.75, 4, 25, true));
    return new Sheet(
        s.tank(), s.signal(), s.estimator(), warm, s.alarm(), s.bypassed(), s.fingerprint());
  }

  /** The same plant with circulation around the clock and hardly a load. */
  private static Scenario quiet(Scenario all) {
    LoadProfile busy = all.loadProfiles().get("two-shifts");
    LoadProfile.Shift always =
        new LoadProfile.Shift(
            EnumSet.allOf(DayOfWeek.class), LocalTime.MIDNIGHT, LocalTime.MIDNIGHT, 1e-6);
    LoadProfile quiet =
        new LoadProfile(
            List.of(always),
            busy.inBathS(),
            busy.displacementL(),
            busy.dragOutL(),
            busy.dragOutScatterPct(),
            busy.dragInL(),
            busy.heatKjPerK(),
            busy.soil());
    return new Scenario(
        all.name(),
        all.seed(),
        all.start(),
        all.room(),
        all.water(),
        all.unknowns(),
        all.products(),
        all.drums(),
        Map.of("two-shifts", quiet),
        all.tankTypes(),
        all.tanks(),
        List.of());
  }

  BathState bath() {
    return state.dosing().bath().state();
  }

  Truth truth() {
    return floor.truth(0);
  }

  List<Fact> facts() {
    return facts;
  }

  /** Orders written between begin and release. */
  int ordersMeanwhile() {
    return orders;
  }

  /** Titrates, begins, does what the guide says, and ends with the release. */
  void changeOut() {
    seconds(60);
    titrate();
    seconds(600);
    changing = true;
    entries.add(new Entry.ProcedureBegun(stamp(), ProcedureKind.CHANGE_OUT, Role.CHEMIST, false));
    floor.inject(Fault.of(FaultKind.HEATER_OFF, 0));
    seconds(2);
    for (int s = 0; state.dosing().procedures().open().isPresent(); s++) {
      if (s > LONGEST_S) {
        throw new AssertionError("not changed in time: " + guide());
      }
      act(guide());
      seconds(1);
    }
    changing = false;
    seconds(600);
  }

  private ProcedureGuide guide() {
    PassResult passed = last.orElseThrow();
    TankSight sight =
        TankSight.of(sheet.tank(), passed.view().signals(), state.dosing().book().watch(), false);
    return ProcedureGuide.of(
            sheet.dosing(),
            sheet.tank(),
            state.dosing(),
            sight,
            passed.view().estimate().concentrationPct())
        .get(0);
  }

  /** One second of a person at the tank. */
  private void act(ProcedureGuide guide) {
    TankSheet tank = sheet.tank();
    ChargePlan plan = ChargePlan.of(tank, sheet.dosing().procedures());
    switch (guide.step()) {
      case "permit" -> tell(guide, papers());
      case "drain" -> drain(guide);
      case "first_water" -> water(guide, plan.firstWaterL());
      case "portion" -> guide.litres().ifPresent(litres -> pour(guide, litres));
      case "cold_mark" -> water(guide, plan.coldL());
      case "heat" -> floor.clear(FaultKind.HEATER_OFF, 0);
      case "titrate" -> {
        if (waits++ % 900 == 0) {
          titrate();
        }
      }
      case "clean", "release" -> tell(guide, Told.NOTHING);
      case "cool", "circulate", "mix" -> {}
      default -> throw new AssertionError("nobody expected " + guide);
    }
  }

  private static Told papers() {
    return new Told(
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        Optional.of("pit 2"),
        Optional.of("W-118"),
        Optional.empty());
  }

  private void drain(ProcedureGuide guide) {
    if (!draining) {
      draining = true;
      floor.inject(new Fault(FaultKind.DRAIN_OPEN, 0, 30));
    } else if (truth().volumeL() < 25) {
      floor.clear(FaultKind.DRAIN_OPEN, 0);
      seconds(20);
      tell(guide, Told.litres(770));
    }
  }

  /** The mark is read at the temperature that the water has. */
  private void water(ProcedureGuide guide, double litres20) {
    if (truth().volumeL() < ChargePlan.shownL(sheet.tank(), litres20, truth().temperatureC())) {
      floor.act(Deed.POUR_WATER, 0, HOSE_L);
    } else {
      seconds(60);
      tell(guide, Told.NOTHING);
    }
  }

  private void pour(ProcedureGuide guide, double litres) {
    floor.act(Deed.POUR_CONCENTRATE, 0, litres);
    tell(guide, Told.litres(litres));
    seconds(2);
  }

  private void tell(ProcedureGuide guide, Told told) {
    entries.add(new Entry.ProcedureStepDone(stamp(), guide.step(), Role.CHEMIST, told));
  }

  private void titrate() {
    entries.add(
        new Entry.Titration(
            stamp(), titrator.repeated(), Entry.Titration.Unit.DROPS, EndPoint.FREE, 0, ""));
  }

  private void seconds(int count) {
    for (int i = 0; i < count; i++) {
      line.advance(SECOND);
      pass();
    }
  }

  private void pass() {
    Now now = Now.at(floor.now());
    Deadline patience = new Deadline(System.nanoTime() + 60_000_000_000L);
    TankImage image = line.read(List.of(sheet.tank().id()), now.steady(), patience).get(0);
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
    PassResult result = Pass.run(sheet, state, input);
    state = result.after();
    last = Optional.of(result);
    facts.addAll(result.facts().stream().filter(Fact.Event.class::isInstance).toList());
    orders +=
        changing
            ? (int) result.writes().stream().filter(LineWrite.Submit.class::isInstance).count()
            : 0;
    written =
        result.writes().stream()
            .map(write -> new WriteOutcome(write, writer.write(write, patience)))
            .toList();
  }

  private Stamp stamp() {
    Instant now = floor.now();
    return new Stamp(
        "change-" + ids++, sheet.tank().id(), "C. Chemist", Stamp.Channel.CONSOLE, now, now);
  }
}
