package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.bathwarden.alarm.AlarmKey;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Procedure;
import org.bathwarden.dosing.ProcedureStep;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.scenario.Deed;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Role;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A process that ends in the middle of a procedure, tidied up by nobody. */
class ProcedureRestartTest {

  @TempDir Path folder = Path.of("");

  private static Entry permit(Stage stage) {
    return new Entry.ProcedureStepDone(
        stage.stamp(Stage.WEAK),
        "permit",
        Role.CHEMIST,
        new Entry.ProcedureStepDone.Told(
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            Optional.of("pit 2"),
            Optional.of("W-118"),
            Optional.empty()));
  }

  private static void tell(Stage stage, Entry entry) {
    stage.offer(entry);
    stage.seconds(2);
    assertTrue(stage.taken(entry), () -> stage.answer(entry));
  }

  private static void drain(Simulation plant, Stage stage, int litres) {
    for (int i = 0; i < litres; i++) {
      plant.floor().act(Deed.DRAIN, 0, 1);
      stage.seconds(1);
    }
  }

  @Test
  void aDrainGoesOnWhereItStood() throws Exception {
    try (Simulation plant = Stage.plant()) {
      Configuration configuration =
          Stage.configuration(
              folder,
              plant,
              Mode.COMMAND,
              yaml ->
                  yaml.replaceFirst(
                      "    number: 1\n",
                      "    number: 1\n    procedures: {drain_below_c: 90, drain_role: chemist}\n"));
      Procedure before;
      SqliteRecord record = SqliteRecord.open(configuration.record());
      Stage killed = new Stage(plant, configuration, record);
      killed.seconds(20);
      tell(
          killed,
          new Entry.ProcedureBegun(
              killed.stamp(Stage.WEAK), ProcedureKind.DRAIN, Role.CHEMIST, false));
      killed.seconds(3);
      tell(killed, permit(killed));
      drain(plant, killed, 60);
      before = open(killed).orElseThrow();
      assertEquals(ProcedureStep.DRAIN, before.step());
      record.close();

      try (SqliteRecord again = SqliteRecord.open(configuration.record());
          Stage stage = new Stage(plant, configuration, again)) {
        stage.seconds(5);
        assertEquals(before, open(stage).orElseThrow());
        assertEquals(BathState.DRAINING, state(stage).bath().state());
        drain(plant, stage, 140);
        assertFalse(
            stage.last(Stage.WEAK).after().alarm().active(AlarmKey.FAST_LOSS), "a declared drain");
        tell(
            stage,
            new Entry.ProcedureStepDone(
                stage.stamp(Stage.WEAK),
                "drain",
                Role.OPERATOR,
                Entry.ProcedureStepDone.Told.litres(200)));
        stage.seconds(5);
        assertEquals(BathState.STOOD_DOWN, state(stage).bath().state());
        assertEquals(List.of("begun", "done", "done", "ended"), moves(again));
      }
    }
  }

  private static DosingState state(Stage stage) {
    return stage.last(Stage.WEAK).after().dosing();
  }

  private static Optional<Procedure> open(Stage stage) {
    return state(stage).procedures().open();
  }

  /** What the record tells of it, over both processes. */
  private static List<String> moves(SqliteRecord record) throws Exception {
    return record.eventsSince(0, 100_000).stream()
        .map(stored -> stored.event())
        .filter(Fact.Dosed.class::isInstance)
        .map(event -> ((Fact.Dosed) event).event())
        .filter(DosingEvent.ProcedureMoved.class::isInstance)
        .map(event -> ((DosingEvent.ProcedureMoved) event).what())
        .toList();
  }
}
