package org.bathwarden.record;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.bathwarden.alarm.AlarmState;
import org.bathwarden.config.ConfigException;
import org.bathwarden.config.ConfigReader;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.Logbook;
import org.bathwarden.cycle.Pass;
import org.bathwarden.cycle.PassInput;
import org.bathwarden.cycle.PassResult;
import org.bathwarden.cycle.TankState;
import org.bathwarden.cycle.Watches;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Surroundings;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Link;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.line.WriteResult;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.signal.SignalState;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.DrumCheck;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.Supply;
import org.bathwarden.tank.TankId;

/**
 * A weak bath in command mode on a PLC that takes and delivers every order, run pass by pass, so
 * that there are real facts and states to store.
 */
final class Yard {

  static final Instant T0 = Instant.parse("2026-03-02T06:00:00.123456789Z");

  final Configuration.Tank tank;
  final List<Fact> facts = new ArrayList<>();
  TankState state;
  private List<WriteOutcome> written = List.of();
  private List<Entry> entries = new ArrayList<>();
  private long second;
  private int ids;
  private boolean probeGood = true;
  // the PLC
  private long holder;
  private int seen;
  private long taken;
  private long finished;
  private long orderedMl;
  private long deliveredMl;
  private long arrivedMl;
  private long totalMl = 4_294_965_000L;
  private int closing;

  Yard() {
    try {
      tank = ConfigReader.read(Path.of("config", "rehearsal-modbus.yaml"), Map.of()).tanks().get(0);
    } catch (ConfigException e) {
      throw new AssertionError(e);
    }
    state =
        new TankState(
            SignalState.initial(T0),
            Estimator.start(tank.sheet().estimator(), T0),
            Watches.START,
            DosingState.first(tank.sheet().dosing(), tank.sheet().tank(), BathState.IN_USE, T0),
            AlarmState.initial(tank.id()),
            Logbook.EMPTY,
            TankState.Kept.NEVER);
  }

  TankId id() {
    return tank.id();
  }

  /** The wall clock runs an odd while ahead of the steady one. */
  Now now() {
    return new Now(T0.plusSeconds(second), T0.plusSeconds(second).plusNanos(7_654_321));
  }

  Yard run(int passes) {
    for (int i = 0; i < passes; i++) {
      pass();
    }
    return this;
  }

  /** One second; returns the facts of its pass. */
  List<Fact> pass() {
    second++;
    PassResult result =
        Pass.run(
            tank.sheet(),
            state,
            new PassInput(
                image(),
                entries,
                written,
                false,
                new Surroundings(true, supplies(), 0, false, false),
                Set.of(),
                now()));
    entries = new ArrayList<>();
    state = result.after();
    facts.addAll(result.facts());
    written =
        result.writes().stream()
            .peek(this::take)
            .map(write -> new WriteOutcome(write, WriteResult.DONE))
            .toList();
    flow();
    return result.facts();
  }

  private Set<Supply> supplies() {
    Set<Supply> all = new HashSet<>();
    tank.sheet().dosing().deliveries().values().forEach(d -> all.addAll(d.supplies()));
    return all;
  }

  private void take(LineWrite write) {
    if (write instanceof LineWrite.ClaimEpoch claim) {
      holder = claim.epoch();
    } else if (write instanceof LineWrite.Beat beat && beat.epoch() == holder) {
      seen = beat.heartbeat();
    } else if (write instanceof LineWrite.Submit submit) {
      taken = submit.block().number();
      orderedMl = submit.block().volumeMl();
      deliveredMl = 0;
      closing = 0;
    }
  }

  private void flow() {
    if (finished == taken) {
      return;
    }
    if (deliveredMl < orderedMl) {
      long ml = Math.min(25, orderedMl - deliveredMl);
      deliveredMl += ml;
      arrivedMl += ml;
      totalMl = (totalMl + ml) & 0xFFFF_FFFFL;
    } else if (++closing > 3) {
      finished = taken;
    }
  }

  private int orderState() {
    return taken == 0 ? 0 : deliveredMl < orderedMl ? PlcWords.RUNNING : PlcWords.DONE;
  }

  private TankImage image() {
    Instant at = now().steady();
    Map<Point, Reading> points = new EnumMap<>(Point.class);
    points.put(Point.LEVEL, Reading.good(780 + arrivedMl / 1000.0 + 0.1 * Math.sin(second), at));
    points.put(Point.TEMPERATURE, Reading.good(60 + 0.05 * Math.cos(second / 7.0), at));
    points.put(
        Point.CONDUCTIVITY,
        probeGood
            ? Reading.good(55.7 + 0.03 * Math.sin(second / 3.0), at)
            : Reading.bad(Quality.Reason.NOT_A_NUMBER, at));
    points.put(Point.PH, Reading.good(12.1 + 0.003 * Math.sin(second / 5.0), at));
    points.put(Point.CONCENTRATE_TOTAL, Reading.good(totalMl, at));
    points.put(Point.WATER_TOTAL, Reading.good(0, at));
    points.put(Point.LOADS_TOTAL, Reading.good(second / 450, at));
    PlcWords words =
        new PlcWords(
            (int) (second & 0xFFFF),
            0x1FF,
            0,
            orderState(),
            taken,
            deliveredMl,
            0,
            finished,
            0,
            0,
            0,
            holder,
            seen,
            20_000,
            60_000,
            1200,
            2,
            12345.678f,
            16909060L,
            1);
    return new TankImage(id(), at, new Link(true, "", T0), Optional.of(words), points);
  }

  Yard probe(boolean good) {
    probeGood = good;
    return this;
  }

  Yard enter(Entry entry) {
    entries.add(entry);
    return this;
  }

  Stamp stamp(String author) {
    return new Stamp(
        "entry-" + ids++,
        id(),
        author,
        Stamp.Channel.CONSOLE,
        now().wall(),
        now().wall().minusSeconds(1));
  }

  Entry titration(double drops) {
    return new Entry.Titration(
        stamp("C. Chemist"),
        drops,
        Entry.Titration.Unit.DROPS,
        EndPoint.FREE,
        Double.NaN,
        "foam: 2 cm, \"clear\"");
  }

  /** One of every kind, sensible or not. */
  List<Entry> everyEntry() {
    return List.of(
        titration(13),
        new Entry.Confirmed(stamp("C. Chemist"), "hmi-17"),
        new Entry.Correction(stamp("C. Chemist"), "hmi-17", "wrong tank"),
        new Entry.Addition(
            stamp("O. Perator"), Product.CONCENTRATE, 0.25, false, Optional.of("L-7")),
        new Entry.Addition(stamp("O. Perator"), Product.WATER, -3, true, Optional.empty()),
        new Entry.Removal(stamp("O. Perator"), 1.5, "skimmed"),
        new Entry.ProbeCare(stamp("O. Perator"), "ph", false),
        new Entry.UnseenFlow(stamp("controller"), Product.CONCENTRATE, 0.125),
        new Entry.DrumChange(
            stamp("O. Perator"),
            "alkali-a",
            "L-8",
            200,
            true,
            new DrumCheck(
                LocalDate.parse("2027-03-31"), Optional.of("alkali-a"), Optional.empty())),
        new Entry.ProposalAnswer(stamp("O. Perator"), 4, true),
        new Entry.ProposalSettled(stamp("O. Perator"), 4, 2, Optional.empty()),
        new Entry.Release(stamp("O. Perator")),
        new Entry.TripReset(stamp("E. Ngineer"), "no-such", Role.ENGINEER),
        new Entry.Bypass(
            stamp("E. Ngineer"), "no-such", Role.ENGINEER, "probe at work", Duration.ofHours(1)),
        new Entry.Resynchronise(stamp("E. Ngineer")),
        new Entry.TakeLine(stamp("E. Ngineer")),
        new Entry.ProofResult(
            stamp("E. Ngineer"), "point-level_l", true, OptionalDouble.of(780), "dipped"),
        new Entry.ProofResult(
            stamp("E. Ngineer"), "permit-drain-closed", false, OptionalDouble.empty(), ""),
        new Entry.TestDose(stamp("E. Ngineer"), Product.WATER, true),
        new Entry.Acknowledge(stamp("O. Perator"), "conductivity-suspect", "seen"),
        new Entry.Shelve(
            stamp("O. Perator"),
            "ph-outside-limits",
            java.time.Duration.ofMinutes(9),
            "calibrating"),
        new Entry.ServiceChange(stamp("E. Ngineer"), "drum-empty", true, "no float"),
        new Entry.AlarmReset(stamp("E. Ngineer"), "fast-loss"),
        new Entry.QualityCheck(stamp("C. Chemist"), "water-break", false),
        new Entry.BathChange(stamp("C. Chemist"), BathState.STOOD_DOWN),
        new Entry.ProcedureBegun(stamp("C. Chemist"), ProcedureKind.CHANGE_OUT, Role.CHEMIST, true),
        new Entry.ProcedureStepDone(
            stamp("O. Perator"),
            "portion",
            Role.OPERATOR,
            Entry.ProcedureStepDone.Told.litres(19.5)),
        new Entry.ProcedureAbandoned(stamp("C. Chemist"), "pit is full"),
        new Entry.Charge(stamp("C. Chemist"), 8, 0.2),
        new Entry.ModeRequest(stamp("C. Chemist"), Mode.PROPOSE));
  }

  /** Half an hour in which most things happen. */
  Yard eventful() {
    run(60).enter(titration(13)).run(900);
    probe(false).run(150).probe(true).run(100);
    for (Entry entry : everyEntry()) {
      enter(entry).run(3);
    }
    return run(400);
  }
}
