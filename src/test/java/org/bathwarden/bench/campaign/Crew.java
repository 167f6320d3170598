package org.bathwarden.bench.campaign;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.ChargePlan;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Procedure;
import org.bathwarden.dosing.ProcedureStep;
import org.bathwarden.simulator.physics.FaultKind;
import org.bathwarden.simulator.scenario.Fault;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.DrumCheck;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.ProcedureStepDone.Told;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;

/**
 * People who drain and charge one tank while everything else befalls. They turn the valve and pour
 * by what they see in the tank, and tell each controller of the line what it waits for. Now and
 * then one tells a step twice, tells the wrong one, or abandons the procedure.
 */
final class Crew {

  private static final double DRAIN_L_PER_MIN = 600;
  private static final double HOSE_L_PER_S = 10;
  private static final long TELL_EVERY_MS = 4_000;
  private static final int TRIES = 8;
  private static final int MISTAKE_OF = 8;

  /** A drop of heel stays, L. */
  private static final double HEEL_L = 15;

  private final Plant plant;
  private final List<Instance> controllers;
  private final Strike work;
  private final Sheet sheet;
  private final SplittableRandom random;
  private final List<Long> wrongPoursMs = new ArrayList<>();
  private double drainToL;
  private double fullL;
  private boolean begun;
  private boolean over;
  private boolean open;
  private int tries;
  private int poured;
  private int ids;
  private long nextMs;

  /** They begin {@code work}. */
  Crew(Plant plant, List<Instance> controllers, Strike work, long seed) {
    this.plant = plant;
    this.controllers = controllers;
    this.work = work;
    this.sheet = controllers.get(0).tanks().get(work.tank()).sheet();
    this.random = new SplittableRandom(seed + work.atMs());
    this.fullL = levelL();
    boolean some = work.kind() == StrikeKind.BATH_DRAIN;
    this.drainToL = some ? Math.max(HEEL_L, fullL - 10.0 * work.size()) : HEEL_L;
    this.nextMs = plant.nowMs();
  }

  /** When concentrate was poured from the wrong drum, ms. */
  List<Long> wrongPoursMs() {
    return wrongPoursMs;
  }

  int tank() {
    return work.tank();
  }

  /** Does what is due: at the tank each second, at the controllers every few. */
  void second() {
    if (over) {
      return;
    }
    Optional<ProcedureStep> awaited = awaited();
    atTheTank(awaited);
    if (plant.nowMs() >= nextMs) {
      nextMs = plant.nowMs() + TELL_EVERY_MS + 100L * random.nextInt(20);
      if (!begun) {
        begin();
      } else if (awaited.isPresent()) {
        controllers.stream()
            .filter(at -> procedure(at).map(p -> p.step() == awaited.get()).orElse(false))
            .forEach(at -> tell(at, procedure(at).orElseThrow()));
      } else if (controllers.stream().anyMatch(Instance::up)) {
        after();
      }
    }
  }

  /** The step that a controller still waits for, where two are at different ones the earlier. */
  private Optional<ProcedureStep> awaited() {
    return controllers.stream()
        .flatMap(at -> procedure(at).stream())
        .map(Procedure::step)
        .min(ProcedureStep::compareTo);
  }

  private Optional<Procedure> procedure(Instance at) {
    return at.up() ? dosing(at).procedures().open() : Optional.empty();
  }

  private DosingState dosing(Instance at) {
    return at.state(work.tank()).dosing();
  }

  private double levelL() {
    return plant.truth(work.tank()).volumeL();
  }

  private ChargePlan plan() {
    return ChargePlan.of(sheet.tank(), sheet.dosing().procedures());
  }

  private void atTheTank(Optional<ProcedureStep> awaited) {
    boolean drains = awaited.filter(s -> s == ProcedureStep.DRAIN).isPresent();
    drain(drains && levelL() > drainToL);
    awaited
        .filter(s -> s == ProcedureStep.FIRST_WATER || s == ProcedureStep.COLD_MARK)
        .ifPresent(
            s -> {
              double toL = s == ProcedureStep.FIRST_WATER ? plan().firstWaterL() : plan().coldL();
              if (plant.truth(work.tank()).volumeAt20L() < toL) {
                plant.pour(work.tank(), 1, HOSE_L_PER_S);
              }
            });
  }

  /** The valve is turned again and again: what else befalls it ends as well. */
  private void drain(boolean now) {
    if (now) {
      plant.floor().inject(new Fault(FaultKind.DRAIN_OPEN, work.tank(), DRAIN_L_PER_MIN));
    } else if (open) {
      plant.floor().clear(FaultKind.DRAIN_OPEN, work.tank());
    }
    open = now;
  }

  private void begin() {
    boolean some = work.kind() != StrikeKind.BATH_CHANGE_OUT;
    boolean runOut = work.kind() == StrikeKind.BATH_CHANGE_OUT && work.size() >= 2;
    begin(some ? ProcedureKind.DRAIN : ProcedureKind.CHANGE_OUT, runOut);
  }

  private void begin(ProcedureKind kind, boolean runOut) {
    for (Instance at : controllers) {
      if (at.up() && procedure(at).isEmpty()) {
        at.enter(new Entry.ProcedureBegun(stamp(at), kind, Role.CHEMIST, runOut));
      }
    }
    begun = begun || tries > 0 && awaited().isPresent();
    tries++;
    over = tries > TRIES;
  }

  private void tell(Instance at, Procedure procedure) {
    begun = true;
    if (random.nextInt(3 * MISTAKE_OF) == 0) {
      at.enter(new Entry.ProcedureAbandoned(stamp(at), "changed our minds"));
      return;
    }
    if (random.nextInt(MISTAKE_OF) == 0) {
      ProcedureStep any = ProcedureStep.values()[random.nextInt(ProcedureStep.values().length)];
      step(at, any, Told.litres(levelL()));
    }
    Optional<Told> told = told(at, procedure);
    told.ifPresent(t -> step(at, procedure.step(), t));
    if (told.isPresent() && random.nextInt(MISTAKE_OF) == 0) {
      step(at, procedure.step(), told.get());
    }
  }

  private void step(Instance at, ProcedureStep step, Told told) {
    at.enter(new Entry.ProcedureStepDone(stamp(at), step.key(), Role.CHEMIST, told));
  }

  /** What is told once it is so; now and then before. */
  private Optional<Told> told(Instance at, Procedure p) {
    boolean early = random.nextInt(MISTAKE_OF) == 0;
    return switch (p.step()) {
      case PERMIT -> {
        fullL = levelL();
        yield Optional.of(waste());
      }
      case DRAIN ->
          levelL() <= drainToL || early
              ? Optional.of(Told.litres(Math.max(fullL - levelL(), 1)))
              : Optional.empty();
      case PORTION -> Optional.of(Told.litres(portion(at, p)));
      case CHECK_PORTION -> Optional.of(reallyIn(at, p));
      case TITRATE -> {
        titrate(at);
        yield Optional.empty();
      }
      case RUN_OUT, CLEAN, FIRST_WATER, COLD_MARK, RELEASE -> Optional.of(Told.NOTHING);
      case COOL, CIRCULATE, MIX, HEAT -> early ? Optional.of(Told.NOTHING) : Optional.empty();
    };
  }

  private static Told waste() {
    return new Told(
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        Optional.of("neutralising tank 2"),
        Optional.of("W-118"),
        Optional.empty());
  }

  /** A portion is poured once, however often it must be told. */
  private double portion(Instance at, Procedure p) {
    int told = p.charging().portions().size();
    double litres = plan().nextL(p.charging().concentrateL());
    if (told >= poured) {
      poured = told + 1;
      boolean wrong = work.size() % 2 == 1 && told == 0;
      drum(at, wrong);
      if (wrong) {
        plant.floor().inject(new Fault(FaultKind.WRONG_PRODUCT, work.tank(), 0));
        wrongPoursMs.add(plant.nowMs());
      }
      plant.pour(work.tank(), 0, litres);
      plant.floor().clear(FaultKind.WRONG_PRODUCT, work.tank());
    }
    return litres;
  }

  /** Whatever is in the drum, its label says that it is the right one. */
  private void drum(Instance at, boolean wrong) {
    at.enter(
        new Entry.DrumChange(
            stamp(at),
            sheet.tank().chemistry().product(),
            wrong ? "L-2" : "L-1",
            200,
            true,
            new DrumCheck(
                LocalDate.of(2030, 1, 1), Optional.empty(), Optional.of("second person"))));
  }

  private Told reallyIn(Instance at, Procedure p) {
    if (dosing(at).interlocks().latched().contains(Cause.RESPONSE_MISMATCH)) {
      at.enter(new Entry.TripReset(stamp(at), Cause.RESPONSE_MISMATCH.key(), Role.CHEMIST));
    }
    boolean wrong = work.size() % 2 == 1 && p.charging().portions().size() == 1;
    double litres = p.charging().portions().get(p.charging().portions().size() - 1).litres();
    return Told.litres(wrong ? 0 : litres);
  }

  private void titrate(Instance at) {
    at.enter(
        new Entry.Titration(
            stamp(at),
            plant.truth(work.tank()).concentrationPct(),
            Entry.Titration.Unit.PCT,
            EndPoint.FREE,
            0.15,
            ""));
  }

  /** A procedure ended, or was abandoned: a fresh bath is made up, or the rest is used. */
  private void after() {
    for (Instance at : controllers) {
      BathState bath = at.up() ? dosing(at).bath().state() : BathState.IN_USE;
      if (bath == BathState.EMPTY) {
        begin(ProcedureKind.CHARGE, false);
      } else if (bath == BathState.CHARGING) {
        begin(ProcedureKind.DRAIN, false);
      } else if (bath == BathState.STOOD_DOWN || bath == BathState.DRAINING) {
        at.enter(new Entry.BathChange(stamp(at), BathState.IN_USE, Role.CHEMIST));
      }
    }
    over = tries++ > 2 * TRIES;
  }

  private Stamp stamp(Instance at) {
    return new Stamp(
        "crew-" + work.tank() + "-" + ids++,
        at.tanks().get(work.tank()).id(),
        "bath crew",
        Stamp.Channel.CONSOLE,
        at.wallNow(),
        at.wallNow());
  }
}
