package org.bathwarden.simulator.physics;

import static org.bathwarden.simulator.physics.Reference.number;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.DayOfWeek;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.bathwarden.simulator.field.Actuators;
import org.junit.jupiter.api.Test;

/** What a healthy tank does. */
class TankTest {

  @Test
  void startsAtTheConcentrationAndLevelAsked() {
    Truth truth = Rig.standing().truth();
    assertEquals(8.0, truth.concentrationPct(), 1e-9);
    assertEquals(780, truth.volumeL(), 1e-9);
  }

  @Test
  void carbonDioxideLowersFreeAndLeavesTotal() {
    Rig rig = Rig.standing();
    Truth before = rig.truth();
    rig.run(24 * 3600);
    Truth after = rig.truth();
    double totalHeld =
        after.totalPct() * after.volumeAt20L() / before.totalPct() / before.volumeAt20L();
    double freeHeld =
        after.freePct() * after.volumeAt20L() / before.freePct() / before.volumeAt20L();
    assertEquals(1.0, totalHeld, 1e-9);
    // 0.1 mol/h for a day out of 8 % of 3.0 eq/L in 768 L, one equivalent per mol
    // (co2-absorption.csv)
    assertEquals(1.0 - 2.4 / (0.08 * 3.0 * before.volumeAt20L()), freeHeld, 0.002);
  }

  @Test
  void aPulseMeterCountsWholePulsesAndTheOverrun() {
    Rig rig = Rig.standing().drive(Rig.PUMP).run(60).drive(Actuators.OFF).run(5);
    long counted = rig.signals().concentrateMl();
    assertEquals(0, counted % 10);
    assertEquals(rig.truth().concentrateInMl(), counted, 10);
    assertEquals(1500, counted, 20); // rated 1.5 L/min; spin-up and overrun are alike
  }

  @Test
  void aLoadLiftsTheLevelWhileItIsIn() {
    Rig rig = Rig.working(EndPoint.FREE, Unknowns.NONE, 4);
    double highest = 0;
    boolean unsettled = false;
    for (int s = 0; s < 3600; s++) {
      rig.run(1);
      highest = Math.max(highest, rig.signals().levelL() - rig.truth().volumeL());
      unsettled |= (rig.signals().permits() & Permit.LEVEL_SETTLED.bit()) == 0;
    }
    assertEquals(12, highest, 0.5);
    assertTrue(unsettled);
  }

  @Test
  void coldWaterCoolsAsMuchAsItShould() {
    Rig rig = Rig.standing();
    rig.tank().start(FaultKind.HEATER_OFF, 1);
    rig.tank().pour(Supply.WATER, 40);
    double v20 = 780 / 1.01525; // water-properties.csv at 60 °C
    assertEquals(60 - 40 * (60 - 14) / (v20 + 40), rig.truth().temperatureC(), 0.01);
  }

  @Test
  void aHydrostaticLevelDoesNotSeeTheHeat() {
    Rig surface = Rig.standing();
    TankType type = Rig.TYPE;
    TankType weighing =
        new TankType(
            type.geometry(),
            type.heating(),
            type.circulationLPerH(),
            LevelKind.HYDROSTATIC,
            0.05,
            0.1,
            type.concentrate(),
            type.water());
    SplittableRandom random = new SplittableRandom(1);
    Room room = new Room(new RoomAir(22, 0, 50), random);
    Tank tank =
        new Tank(
            new Plant(
                weighing,
                EndPoint.FREE,
                Rig.loads(0),
                Rig.WATER,
                new Charge(8, 1, 780, 5),
                Unknowns.NONE),
            new Drum(Rig.PRODUCT, 200, 0, random),
            room,
            LocalDateTime.of(2026, 3, 2, 6, 0),
            random);
    double ratio = tank.signals().levelL() / surface.signals().levelL();
    // 983.211 / 998.206 (water-properties.csv), and about 2 % heavier than water
    assertEquals(983.211 / 998.206 * 1.0175, ratio, 0.003);
  }

  @Test
  void dropsAreCountedAsTheTextbookSays() {
    // titration-examples.csv: 14 drops of 0.35 % are 4.90 %; the end point lies in the last drop.
    DropTest exact = new DropTest(0.35, 0, 0, 1);
    SplittableRandom random = new SplittableRandom(1);
    assertEquals(14, exact.count(4.90 - 1e-9, random));
    assertEquals(14, exact.count(4.56, random));
    assertEquals(15, exact.count(4.91, random));
    double sum = 0;
    for (int i = 0; i < 20_000; i++) {
      double truth = 3 + 4 * random.nextDouble();
      sum += 0.35 * exact.count(truth, random) - truth;
    }
    double expected =
        number(
            Reference.row(
                "titration-examples.csv",
                "case",
                "drop count: end point lies inside the last counted drop, so n reads high on average"),
            "result");
    assertEquals(expected, sum / 20_000, 0.004);
  }

  @Test
  void aBlunderDoublesTheCount() {
    Rig rig = Rig.standing();
    assertEquals(16, rig.tank().titrate(new DropTest(0.5, 0, 0, 0.999)));
    assertEquals(32, rig.tank().titrate(new DropTest(0.5, 0, 0, 1.998)));
  }

  @Test
  void aNightShiftBelongsToTheDayItStarts() {
    LoadProfile.Shift night =
        new LoadProfile.Shift(Set.of(DayOfWeek.FRIDAY), LocalTime.of(22, 0), LocalTime.of(6, 0), 5);
    LoadProfile loads = Rig.loads(0);
    LoadProfile profile = new LoadProfile(List.of(night), 240, 12, 0.8, 25, 0.3, 12, loads.soil());
    LocalDateTime friday = LocalDateTime.of(2026, 3, 6, 0, 0);
    assertEquals(0, profile.loadsPerHour(friday.plusHours(5)));
    assertEquals(5, profile.loadsPerHour(friday.plusHours(23)));
    assertEquals(5, profile.loadsPerHour(friday.plusHours(29)));
    assertEquals(0, profile.loadsPerHour(friday.plusHours(30)));
  }
}
