package org.bathwarden.simulator.physics;

import java.time.DayOfWeek;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;

/** One tank on the bench, by default exact and without noise. */
final class Rig {

  static final Product PRODUCT = new Product(2.0, 0.2, 0.4, 0.3, 60);
  static final MakeUpWater WATER = new MakeUpWater(14, 2.0, 0.6, 1.5);
  static final TankType TYPE =
      new TankType(
          new TankType.Geometry(800, 900, 920, 950, 1.0),
          new TankType.Heating(60, 18, 12),
          16_000,
          LevelKind.SURFACE,
          0.05,
          0.1,
          new TankType.Line(1.5, 10),
          new TankType.Line(20, 100));
  static final Actuators PUMP = new Actuators(true, false);
  static final Actuators VALVE = new Actuators(false, true);

  private static final Set<DayOfWeek> EVERY_DAY = EnumSet.allOf(DayOfWeek.class);
  private static final LocalDateTime MONDAY = LocalDateTime.of(2026, 3, 2, 6, 0);

  private final Tank tank;
  private final Room room;
  private LocalDateTime local = MONDAY;
  private Actuators actuators = Actuators.OFF;

  private Rig(double loadsPerH, EndPoint endPoint, Unknowns unknowns, long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    room = new Room(new RoomAir(22, 0, 50), random.split());
    Drum drum = new Drum(PRODUCT, 200, unknowns.lotPct(), random.split());
    Plant plant =
        new Plant(TYPE, endPoint, loads(loadsPerH), WATER, new Charge(8, 1, 780, 5), unknowns);
    tank = new Tank(plant, drum, room, local, random.split());
  }

  /** Parts at {@code perHour}, around the clock. */
  static LoadProfile loads(double perHour) {
    return new LoadProfile(
        List.of(new LoadProfile.Shift(EVERY_DAY, LocalTime.MIDNIGHT, LocalTime.MIDNIGHT, perHour)),
        240,
        12,
        0.8,
        25,
        0.3,
        12,
        new LoadProfile.Soil(2, 12, 4, 15));
  }

  /** Hot and circulating, but so few parts that none comes in a test. */
  static Rig standing() {
    return new Rig(1e-6, EndPoint.FREE, Unknowns.NONE, 1);
  }

  /** In full use. */
  static Rig working(EndPoint endPoint, Unknowns unknowns, long seed) {
    return new Rig(10, endPoint, unknowns, seed);
  }

  Tank tank() {
    return tank;
  }

  Truth truth() {
    return tank.truth();
  }

  FieldSignals signals() {
    return tank.signals();
  }

  /** From now on the PLC drives {@code what}. */
  Rig drive(Actuators what) {
    actuators = what;
    return this;
  }

  /** Runs {@code seconds} in steps of 100 ms. */
  Rig run(int seconds) {
    for (int s = 0; s < seconds; s++) {
      for (int i = 0; i < 10; i++) {
        tank.flow(0.1, actuators);
      }
      local = local.plusSeconds(1);
      if (local.getSecond() == 0) {
        room.step(60, local.getHour());
      }
      tank.settle(1.0, local);
    }
    return this;
  }
}
