package org.bathwarden.estimate;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.MakeUpWater;
import org.bathwarden.tank.Method;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.TemperatureWindow;
import org.bathwarden.tank.TitrationKit;

/** An invented tank of 1000 L at 5 % and 60 °C, for tests. */
final class Tanks {

  static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  private Tanks() {}

  static EstimatorSheet sheet() {
    TemperatureWindow window = new TemperatureWindow(0, 100);
    ConductivityGrid grid =
        new ConductivityGrid(
            List.of(
                new ConductivityGrid.Point(2.5, 60, 28),
                new ConductivityGrid.Point(5, 60, 51),
                new ConductivityGrid.Point(7.5, 60, 72),
                new ConductivityGrid.Point(5, 25, 31)));
    ChemistrySheet chemistry =
        new ChemistrySheet(
            "builder",
            EndPoint.FREE,
            true,
            grid,
            new TitrationKit(0.25, TitrationKit.FactorFrom.NORMALITY, 0.35, 0.04),
            List.of(),
            -0.03,
            true,
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            Map.of(),
            window,
            window);
    TankSheet tank =
        new TankSheet(
            new TankId("wash-1"),
            1,
            new Geometry(LevelKind.SURFACE, 1000, 800, 700, 600, 1100, 0, 0, 0, 1, 200),
            new Band(5, 4.25, 6),
            Set.of(),
            chemistry,
            new MakeUpWater(0, 0, 15),
            100,
            60,
            0.5);
    return new EstimatorSheet(tank, 5, 0.2, Priors.standard());
  }

  /** The same tank with another geometry, sheet and drag-out (L per load). */
  static EstimatorSheet with(Geometry geometry, ChemistrySheet chemistry, double dragOutL) {
    TankSheet t = sheet().tank();
    TankSheet tank =
        new TankSheet(
            t.id(),
            t.number(),
            geometry,
            t.band(),
            t.metals(),
            chemistry,
            t.water(),
            t.concentrateStrengthPct(),
            t.temperatureSetpointC(),
            dragOutL);
    return new EstimatorSheet(tank, 5, 0.2, Priors.standard());
  }

  /** The same tank with another sheet. */
  static EstimatorSheet with(ChemistrySheet chemistry) {
    TankSheet t = sheet().tank();
    return with(t.geometry(), chemistry, t.dragOutLPerLoad());
  }

  /** The same chemistry but for what is given. */
  static ChemistrySheet chemistry(
      String product, ConductivityGrid grid, TitrationKit kit, List<Method> methods) {
    ChemistrySheet c = sheet().tank().chemistry();
    return new ChemistrySheet(
        product,
        c.endPoint(),
        c.titrated(),
        grid,
        kit,
        methods,
        c.phPerK(),
        c.phLimitsHot(),
        c.silicateMinimumPh(),
        c.totalToFreeHigh(),
        c.metals(),
        c.useC(),
        c.dosingC());
  }

  static Instant minute(double minutes) {
    return START.plusMillis(Math.round(minutes * 60_000));
  }

  /** A sample of a quiet tank, with nothing flowing. */
  static Sample quiet(double minutes) {
    return new Sample(minute(minutes), 1000, 60, 51, 12, 0, 0, 0, true, true);
  }

  /** The same without a conductivity. */
  static Sample blind(double minutes) {
    return new Sample(minute(minutes), 1000, 60, Double.NaN, 12, 0, 0, 0, true, true);
  }

  static Stamp stamp(String id, double enteredMinute, double happenedMinute) {
    return new Stamp(
        id,
        new TankId("wash-1"),
        "shift",
        Stamp.Channel.FILE,
        minute(enteredMinute),
        minute(happenedMinute));
  }

  static Entry.Titration drops(String id, double happenedMinute, double drops) {
    return new Entry.Titration(
        stamp(id, happenedMinute, happenedMinute),
        drops,
        Entry.Titration.Unit.DROPS,
        EndPoint.FREE,
        Double.NaN,
        "");
  }

  static Entry.Titration result(String id, double happenedMinute, double pct, double uPct) {
    return new Entry.Titration(
        stamp(id, happenedMinute, happenedMinute),
        pct,
        Entry.Titration.Unit.PCT,
        EndPoint.FREE,
        uPct,
        "");
  }

  /** Runs minutes {@code from} to {@code to}, both included, without entries. */
  static EstimateState quietly(EstimatorSheet sheet, EstimateState state, int from, int to) {
    EstimateState now = state;
    for (int i = from; i <= to; i++) {
      now = Estimator.run(sheet, now, quiet(i), List.of());
    }
    return now;
  }
}
