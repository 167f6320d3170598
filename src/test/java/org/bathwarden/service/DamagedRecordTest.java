package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.UnaryOperator;
import org.bathwarden.config.Configuration;
import org.bathwarden.dosing.Cause;
import org.bathwarden.dosing.Disagreement;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** After damage to the record nothing is dosed until people have looked. */
class DamagedRecordTest {

  private static final List<TankId> TANKS = List.of(Stage.WEAK, Stage.STRONG, Stage.LOW);

  @TempDir private Path folder = Path.of("");

  @Test
  void aDamagedRecordDosesNothingUntilAnEngineerResynchronisesAndABathIsTitrated()
      throws Exception {
    try (Simulation plant = Stage.plant()) {
      Configuration configuration =
          Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity());
      try (SqliteRecord record = SqliteRecord.open(configuration.record());
          Stage stage = new Stage(plant, configuration, record)) {
        stage.seconds(20);
        stage.titrate();
        stage.until("an order on the weak tank", 120, () -> stage.runs(Stage.WEAK));
        stage.seconds(2);
      }
      ruin(configuration.record());
      for (int start = 0; start < 2; start++) {
        try (SqliteRecord record = SqliteRecord.open(configuration.record());
            Stage stage = new Stage(plant, configuration, record)) {
          if (start == 0) {
            // This one ends before its first round: the doubt must outlive it.
            continue;
          }
          blocked(stage);
          released(stage);
        }
      }
    }
  }

  /** All of the second half is lost, the newest events and states among it. */
  private static void ruin(Path file) throws Exception {
    byte[] bytes = Files.readAllBytes(file);
    Arrays.fill(bytes, bytes.length / 2, bytes.length, (byte) 0x5A);
    Files.write(file, bytes);
  }

  private static void blocked(Stage stage) {
    Map<TankId, Long> taken = new TreeMap<>(java.util.Comparator.comparing(TankId::name));
    TANKS.forEach(tank -> taken.put(tank, stage.plc(tank, FromPlc.ORDER_TAKEN)));
    stage.seconds(600);
    for (TankId tank : TANKS) {
      assertTrue(stage.acts(tank, Cause.RECORD_DAMAGED), tank.name());
      assertEquals(Mode.PROPOSE, stage.last(tank).after().dosing().mode());
      assertEquals(taken.get(tank), stage.plc(tank, FromPlc.ORDER_TAKEN), "no order");
    }
    assertEquals(List.of(), stage.dosed(DosingEvent.OrderPrepared.class));
    assertEquals(
        java.util.Optional.of(Disagreement.RECORD_DAMAGED),
        stage.last(Stage.WEAK).after().dosing().book().latch());
  }

  private static void released(Stage stage) {
    TANKS.forEach(tank -> stage.offer(new Entry.Resynchronise(stage.stamp(tank))));
    stage.seconds(3);
    List<Entry> early = resets(stage);
    stage.seconds(3);
    early.forEach(
        reset -> assertTrue(stage.answer(reset).contains("titration"), stage.answer(reset)));
    stage.titrate();
    stage.seconds(300);
    List<Entry> resets = resets(stage);
    stage.seconds(3);
    resets.forEach(reset -> assertTrue(stage.taken(reset), stage.answer(reset)));
    TANKS.forEach(tank -> stage.offer(new Entry.ModeRequest(stage.stamp(tank), Mode.COMMAND)));
    stage.until("an order again", 1200, () -> stage.runs(Stage.WEAK));
    stage.untilOrdersAreFinal();
  }

  private static List<Entry> resets(Stage stage) {
    List<Entry> resets = new ArrayList<>();
    for (TankId tank : TANKS) {
      String cause = Cause.RECORD_DAMAGED.key();
      resets.add(new Entry.TripReset(stage.stamp(tank), cause, Role.ENGINEER));
    }
    resets.forEach(stage::offer);
    return resets;
  }
}
