package org.bathwarden.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Consumer;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.alarm.AlarmLife;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.ProcedureGuide;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Role;

/**
 * People at the tank of {@link Bench}: what they pour and drain really flows, what they tell is
 * entered, and each row of a table says where that must lead.
 */
final class ProcedureBench {

  final Bench bench;

  ProcedureBench(Mode mode, double volumeL, double pct, BathState state) {
    bench = new Bench(Plant.sheet(mode), volumeL, pct);
    bench.past(
        d ->
            new org.bathwarden.dosing.DosingState(
                d.mode(),
                d.leaving(),
                org.bathwarden.dosing.Bath.in(state, Plant.T0),
                d.chargedAt(),
                d.book(),
                d.proposals(),
                d.ledger(),
                d.interlocks(),
                d.titration(),
                d.drum(),
                d.shortInARow(),
                d.wantingSince(),
                d.proofs(),
                d.procedures()));
    bench.run(5);
  }

  /** An empty tank with a heel of 20 L and a PLC that obeys. */
  static ProcedureBench empty(Mode mode) {
    return new ProcedureBench(mode, 20, 0.6, BathState.EMPTY);
  }

  /**
   * One row: what people do, how long it takes, and where it must lead.
   *
   * @param step awaited step; empty if no procedure is open
   * @param litres what is proposed to pour, L; empty if nothing is
   * @param alarms that must be active, separated by spaces
   */
  record Row(
      String what,
      Consumer<ProcedureBench> deed,
      int seconds,
      BathState bath,
      String step,
      String litres,
      String alarms) {}

  static Row row(
      String what,
      Consumer<ProcedureBench> deed,
      int seconds,
      BathState bath,
      String step,
      String litres,
      String alarms) {
    return new Row(what, deed, seconds, bath, step, litres, alarms);
  }

  /** Lives through a table; only alarms named in {@code watched} are looked at. */
  ProcedureBench live(Set<AlarmKey> watched, List<Row> rows) {
    for (Row row : rows) {
      row.deed().accept(this);
      bench.run(row.seconds());
      assertEquals(row.bath(), bath(), row.what() + said());
      assertEquals(row.step(), step(), row.what() + said());
      assertEquals(row.litres(), litres(), row.what() + said());
      Set<String> active = new TreeSet<>();
      watched.stream()
          .filter(key -> bench.state.alarm().active(key))
          .filter(key -> bench.life(key) != AlarmLife.SUPPRESSED_BY_DESIGN)
          .forEach(key -> active.add(key.key()));
      assertEquals(row.alarms(), String.join(" ", active), row.what() + said());
    }
    return this;
  }

  private String said() {
    return " " + bench.refusals() + moves();
  }

  BathState bath() {
    return bench.state.dosing().bath().state();
  }

  Optional<ProcedureGuide> guide() {
    return bench.guides().stream().filter(guide -> guide.author().isPresent()).findFirst();
  }

  String step() {
    return guide().map(ProcedureGuide::step).orElse("");
  }

  private String litres() {
    OptionalDouble litres = guide().map(ProcedureGuide::litres).orElse(OptionalDouble.empty());
    return litres.isPresent()
        ? String.format(java.util.Locale.ROOT, "%.1f", litres.getAsDouble())
        : "";
  }

  List<String> moves() {
    return bench.events(DosingEvent.ProcedureMoved.class).stream()
        .map(e -> e.step().key() + " " + e.what() + " " + e.words())
        .toList();
  }

  void begin(ProcedureKind kind, Role role) {
    bench.enter(new Entry.ProcedureBegun(bench.stamp(), kind, role, false));
  }

  void tell(String step) {
    tell(step, Role.OPERATOR, Entry.ProcedureStepDone.Told.NOTHING);
  }

  void tell(String step, double litres) {
    tell(step, Role.OPERATOR, Entry.ProcedureStepDone.Told.litres(litres));
  }

  void tell(String step, Role role, Entry.ProcedureStepDone.Told told) {
    bench.enter(new Entry.ProcedureStepDone(bench.stamp(), step, role, told));
  }

  void permit(Role role) {
    tell(
        "permit",
        role,
        new Entry.ProcedureStepDone.Told(
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            Optional.of("neutralising tank 2"),
            Optional.of("W-118"),
            Optional.empty()));
  }

  /** Water runs in, 1.5 L/s, until the level stands at {@code litres}. */
  void fill(double litres) {
    while (bench.volumeL < litres) {
      bench.volumeL = Math.min(litres, bench.volumeL + 1.5);
      bench.run(1);
    }
  }

  /** Bath runs out, 1.5 L/s, until the level stands at {@code litres}. */
  void drainTo(double litres) {
    while (bench.volumeL > litres) {
      bench.level(Math.max(litres, bench.volumeL - 1.5));
      bench.run(1);
    }
  }

  /** Somebody pours what the drum holds. */
  void pour(double litres) {
    bench.volumeL += litres;
    bench.alkaliL += litres * bench.drumPct / 100;
  }

  /** A portion is poured and told as it was. */
  void portion(double litres) {
    pour(litres);
    tell("portion", litres);
  }
}
