package org.bathwarden.simulator.physics;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** Each fault of the shop floor has its one effect, on an exact rig that shows nothing else. */
class FaultEffectTest {

  /** What a fault must do; {@code ill} has it, {@code well} is the same tank without. */
  private interface Effect {
    void check(Rig ill, Rig well);
  }

  private record Case(double size, Actuators driven, int seconds, Effect effect) {}

  private static final Map<FaultKind, Case> CASES = new TreeMap<>();

  private static void on(FaultKind kind, double size, Actuators driven, int s, Effect effect) {
    CASES.put(kind, new Case(size, driven, s, effect));
  }

  static {
    on(
        FaultKind.LEVEL_STUCK,
        1,
        Rig.VALVE,
        120,
        (ill, well) -> {
          assertEquals(780, ill.signals().levelL(), 0.5);
          assertEquals(820, well.signals().levelL(), 5);
        });
    on(
        FaultKind.TEMPERATURE_STUCK,
        1,
        Rig.VALVE,
        120,
        (ill, well) -> {
          assertEquals(60, ill.signals().temperatureC(), 0.01);
          assertTrue(well.signals().temperatureC() < 59);
        });
    on(
        FaultKind.CONDUCTIVITY_STUCK,
        1,
        Rig.VALVE,
        600,
        (ill, well) ->
            assertTrue(
                ill.signals().conductivityMsCm() > 1.05 * well.signals().conductivityMsCm()));
    on(
        FaultKind.PH_STUCK,
        1,
        Rig.VALVE,
        1200,
        (ill, well) ->
            // the cold water cools the bath, which raises the pH of a hydroxide bath
            assertTrue(well.signals().ph() > ill.signals().ph() + 0.05));
    on(
        FaultKind.CONDUCTIVITY_DRIFT,
        2,
        Actuators.OFF,
        3600,
        (ill, well) -> assertEquals(1.02, conductivityRatio(ill, well), 1e-3));
    on(
        FaultKind.PH_DRIFT,
        -0.05,
        Actuators.OFF,
        7200,
        (ill, well) -> assertEquals(-0.1, ill.signals().ph() - well.signals().ph(), 1e-3));
    on(
        FaultKind.CONDUCTIVITY_FOULING,
        0.15,
        Actuators.OFF,
        6 * 3600,
        (ill, well) -> assertEquals(0.85, conductivityRatio(ill, well), 1e-3));
    on(
        FaultKind.LEVEL_NAN,
        1,
        Actuators.OFF,
        2,
        (ill, well) -> {
          assertTrue(Double.isNaN(ill.signals().levelL()));
          assertEquals(1, ill.signals().sensorFaults());
        });
    on(
        FaultKind.CONDUCTIVITY_NAN,
        1,
        Actuators.OFF,
        2,
        (ill, well) -> {
          assertTrue(Double.isNaN(ill.signals().conductivityMsCm()));
          assertEquals(4, ill.signals().sensorFaults());
        });
    on(
        FaultKind.CONDUCTIVITY_DROPOUT,
        1,
        Actuators.OFF,
        0,
        (ill, well) -> {
          int zeros = 0;
          for (int s = 0; s < 300; s++) {
            zeros += ill.run(1).signals().conductivityMsCm() == 0.0 ? 1 : 0;
          }
          assertEquals(25, zeros);
          assertEquals(0, ill.signals().sensorFaults());
        });
    on(
        FaultKind.FOAM,
        60,
        Actuators.OFF,
        600,
        (ill, well) -> {
          assertEquals(60, ill.signals().levelL() - well.signals().levelL(), 0.1);
          assertEquals(well.truth().volumeL(), ill.truth().volumeL(), 1e-9);
        });
    on(
        FaultKind.PUMP_SLIP,
        0.4,
        Rig.PUMP,
        60,
        (ill, well) ->
            assertEquals(
                0.6,
                (double) ill.signals().concentrateMl() / well.signals().concentrateMl(),
                0.01));
    on(
        FaultKind.EMPTY_DRUM,
        1,
        Rig.PUMP,
        60,
        (ill, well) -> {
          assertEquals(0, ill.signals().concentrateMl());
          assertFalse(has(ill, Permit.CONCENTRATE));
          assertTrue(well.signals().concentrateMl() > 1000);
        });
    on(
        FaultKind.LEAK,
        20,
        Actuators.OFF,
        3600,
        (ill, well) -> assertEquals(20, well.truth().volumeL() - ill.truth().volumeL(), 0.1));
    on(
        FaultKind.SIPHON,
        0.2,
        Actuators.OFF,
        600,
        (ill, well) -> {
          assertEquals(2000, ill.signals().concentrateMl(), 10);
          assertFalse(ill.signals().concentrateRunning());
        });
    on(
        FaultKind.LOAD_BURST,
        3,
        Actuators.OFF,
        3600,
        (ill, well) -> {
          assertTrue(ill.signals().loads() >= 12);
          assertEquals(0, well.signals().loads());
        });
    on(
        FaultKind.PERMIT_LOSS,
        Permit.DRAIN_CLOSED.ordinal(),
        Actuators.OFF,
        1,
        (ill, well) -> assertEquals(well.signals().permits() & ~(1 << 3), ill.signals().permits()));
    on(
        FaultKind.FLAPPING_PERMIT,
        Permit.CIRCULATION.ordinal(),
        Actuators.OFF,
        0,
        (ill, well) -> {
          int changes = 0;
          boolean was = true;
          for (int s = 0; s < 60; s++) {
            boolean is = has(ill.run(1), Permit.CIRCULATION);
            changes += is == was ? 0 : 1;
            was = is;
          }
          assertEquals(30, changes, 1);
        });
    on(
        FaultKind.LYING_TOTALIZER,
        1.3,
        Rig.PUMP,
        60,
        (ill, well) -> {
          assertEquals(
              1.3, (double) ill.signals().concentrateMl() / well.signals().concentrateMl(), 0.01);
          assertEquals(well.truth().concentrateInMl(), ill.truth().concentrateInMl(), 1e-9);
        });
    on(
        FaultKind.UNBOOKED_POUR,
        5,
        Actuators.OFF,
        900,
        (ill, well) -> {
          assertTrue(ill.truth().concentrationPct() > well.truth().concentrationPct() + 0.5);
          assertEquals(0, ill.signals().concentrateMl());
        });
    on(
        FaultKind.UNBOOKED_WATER,
        40,
        Actuators.OFF,
        60,
        (ill, well) -> {
          assertEquals(40, ill.truth().volumeL() - well.truth().volumeL(), 1.5);
          assertEquals(0, ill.signals().waterMl());
        });
    on(
        FaultKind.WELDED_CONTACT,
        1,
        Rig.PUMP,
        10,
        (ill, well) -> {
          long illBefore = ill.signals().concentrateMl();
          long wellBefore = well.signals().concentrateMl();
          ill.drive(Actuators.OFF).run(60);
          well.drive(Actuators.OFF).run(60);
          assertEquals(1500, ill.signals().concentrateMl() - illBefore, 20);
          assertTrue(ill.signals().concentrateRunning());
          assertTrue(well.signals().concentrateMl() - wellBefore <= 10);
        });
    on(
        FaultKind.WRONG_PRODUCT,
        0,
        Rig.PUMP,
        600,
        (ill, well) -> {
          assertTrue(well.truth().concentrationPct() > 9);
          assertTrue(ill.truth().concentrationPct() < 8);
          assertEquals(well.signals().concentrateMl(), ill.signals().concentrateMl());
        });
    on(
        FaultKind.HEATER_OFF,
        1,
        Actuators.OFF,
        2 * 3600,
        (ill, well) -> {
          assertTrue(ill.signals().temperatureC() < 57);
          assertEquals(60, well.signals().temperatureC(), 1);
        });
    on(
        FaultKind.CIRCULATION_OFF,
        1,
        Actuators.OFF,
        2,
        (ill, well) -> assertFalse(has(ill, Permit.CIRCULATION)));
    on(
        FaultKind.PANEL_RUN,
        2,
        Actuators.OFF,
        60,
        (ill, well) -> {
          assertEquals(2, ill.signals().panelKind());
          assertEquals(20_000, ill.signals().waterMl(), 200);
        });
    on(
        FaultKind.DRAIN_OPEN,
        30,
        Actuators.OFF,
        120,
        (ill, well) -> {
          assertFalse(has(ill, Permit.DRAIN_CLOSED));
          assertEquals(60, well.truth().volumeL() - ill.truth().volumeL(), 0.5);
        });
  }

  private static boolean has(Rig rig, Permit permit) {
    return (rig.signals().permits() & permit.bit()) != 0;
  }

  private static double conductivityRatio(Rig ill, Rig well) {
    return ill.signals().conductivityMsCm() / well.signals().conductivityMsCm();
  }

  @TestFactory
  Stream<DynamicTest> everyFaultHasItsEffect() {
    return CASES.entrySet().stream()
        .map(
            e ->
                DynamicTest.dynamicTest(
                    e.getKey().code(),
                    () -> {
                      Case c = e.getValue();
                      Rig ill = Rig.standing();
                      Rig well = Rig.standing();
                      ill.tank().start(e.getKey(), c.size());
                      ill.drive(c.driven()).run(c.seconds());
                      well.drive(c.driven()).run(c.seconds());
                      c.effect().check(ill, well);
                    }));
  }

  @Test
  void noFaultOfTheShopFloorIsWithoutItsTest() {
    Set<FaultKind> untested = EnumSet.allOf(FaultKind.class);
    untested.removeIf(FaultKind::onWire);
    untested.removeAll(CASES.keySet());
    assertEquals(Set.of(), untested);
  }

  @Test
  void anEndedFaultLeavesAHealthyTank() {
    List<FaultKind> notHealed = new ArrayList<>();
    for (FaultKind kind : CASES.keySet()) {
      Rig rig = Rig.standing();
      if (!kind.momentary()) {
        rig.tank().start(kind, kind.defaultSize());
        rig.run(10);
        rig.tank().end(kind);
      }
      rig.tank().cleanProbes();
      FieldSignals after = rig.run(3600).signals();
      if (after.permits() != 511
          || after.sensorFaults() != 0
          || after.concentrateRunning()
          || after.waterOpen()
          || Math.abs(after.levelL() - rig.truth().volumeL()) > 0.5
          || Math.abs(after.conductivityMsCm() - rig.truth().conductivityMsCm()) > 0.5) {
        notHealed.add(kind);
      }
    }
    assertEquals(List.of(), notHealed);
  }
}
