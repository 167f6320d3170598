package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.function.UnaryOperator;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.StateSnapshot;
import org.bathwarden.cycle.TankState;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.estimate.Estimate;
import org.bathwarden.estimate.EstimateState;
import org.bathwarden.estimate.Estimator;
import org.bathwarden.record.Record;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.simulator.Simulation;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A process that takes over from the record goes on as the one before would have. */
class RestartTest {

  /**
   * A start runs the estimator on from its last stored state by images up to 10 s apart, the
   * process before by each second's: that much they may differ.
   */
  private static final double BY_IMAGES_PCT = 1e-3;

  private static final double AS_STORED_PCT = 1e-9;

  @TempDir Path folder = Path.of("");

  @Test
  void aNewProcessGoesOnWhereTheRecordEnds() throws Exception {
    try (Simulation plant = Stage.plant()) {
      Configuration configuration =
          Stage.configuration(folder, plant, Mode.COMMAND, UnaryOperator.identity());
      Map<TankId, Kept> before;
      Map<TankId, Set<Long>> closedBefore;
      try (SqliteRecord record = SqliteRecord.open(configuration.record());
          Stage stage = new Stage(plant, configuration, record)) {
        stage.seconds(20);
        stage.titrate();
        stage.seconds(1795);
        before = kept(stage);
        closedBefore = closed(record);
        assertTrue(closedBefore.size() >= 2, "orders were booked: " + closedBefore);
      }
      try (SqliteRecord record = SqliteRecord.open(configuration.record())) {
        Restore restore = new Restore(record, Now.at(plant.floor().now()));
        for (Configuration.Tank tank : configuration.tanks()) {
          same(tank, before.get(tank.id()), restore.tank(tank), record.load(tank.id()));
        }
        try (Stage stage = new Stage(plant, configuration, record)) {
          stage.seconds(900);
          stage.untilOrdersAreFinal();
          closed(record);
          for (TankId tank : before.keySet()) {
            assertEquals(
                stage.plc(tank, FromPlc.CONCENTRATE_TOTAL_ML),
                booked(record, tank),
                12,
                tank + ", mL");
          }
        }
      }
    }
  }

  /** Last states handed to the record, each with the estimate shown in the same pass. */
  private record Kept(StateSnapshot state, Estimate estimate, Estimate whenStored) {}

  private static Map<TankId, Kept> kept(Stage stage) {
    Map<TankId, Kept> kept = new HashMap<>();
    Map<TankId, Estimate> estimates = new HashMap<>();
    Map<TankId, Estimate> whenStored = new HashMap<>();
    for (Fact fact : stage.facts()) {
      if (fact instanceof Fact.EstimateKept estimate) {
        estimates.put(fact.tank(), estimate.estimate());
      } else if (fact instanceof Fact.StateKept state) {
        kept.put(
            fact.tank(),
            new Kept(
                state.state(),
                estimates.get(fact.tank()),
                whenStored.getOrDefault(fact.tank(), estimates.get(fact.tank()))));
      } else if (fact instanceof Fact.EstimatorKept) {
        whenStored.put(fact.tank(), estimates.get(fact.tank()));
        kept.computeIfPresent(
            fact.tank(), (tank, k) -> new Kept(k.state(), k.estimate(), k.estimate()));
      }
    }
    return kept;
  }

  private static void same(
      Configuration.Tank tank, Kept before, TankState restored, Record.Loaded loaded) {
    assertEquals(before.state().alarm(), restored.alarm(), "alarms");
    assertEquals(before.state().dosing().restarted(), restored.dosing(), "orders, ledger, mode");
    assertEquals(before.state().logbook(), restored.logbook());
    Estimate estimate = Estimator.estimate(tank.sheet().estimator(), restored.estimate());
    assertEquals(before.estimate().at(), estimate.at());
    same(before.estimate(), estimate, BY_IMAGES_PCT);
    EstimateState stored =
        EstimateState.restore(loaded.estimator().orElseThrow().value()).orElseThrow();
    same(before.whenStored(), Estimator.estimate(tank.sheet().estimator(), stored), AS_STORED_PCT);
  }

  private static void same(Estimate before, Estimate after, double tolerancePct) {
    assertEquals(before.concentrationPct(), after.concentrationPct(), tolerancePct);
    assertEquals(before.low95Pct(), after.low95Pct(), tolerancePct);
    assertEquals(before.high95Pct(), after.high95Pct(), tolerancePct);
    assertEquals(before.volumeL(), after.volumeL(), 100 * tolerancePct);
  }

  /** Numbers of the orders booked so far; fails if one was booked twice. */
  private static Map<TankId, Set<Long>> closed(Record record) throws Exception {
    Map<TankId, Set<Long>> numbers = new HashMap<>();
    for (Record.StoredEvent stored : record.eventsSince(0, 100_000)) {
      if (stored.event() instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.OrderClosed order) {
        boolean first =
            numbers
                .computeIfAbsent(order.tank(), tank -> new HashSet<>())
                .add(order.order().number());
        assertTrue(first, "booked twice: " + order);
      }
    }
    return numbers;
  }

  private static long booked(Record record, TankId tank) throws Exception {
    long ml = 0;
    for (Record.StoredEvent stored : record.eventsSince(0, 100_000)) {
      if (stored.event() instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.OrderClosed order
          && order.order().product() == Product.CONCENTRATE
          && order.tank().equals(tank)) {
        ml += order.deliveredMl();
      }
    }
    return ml;
  }
}
