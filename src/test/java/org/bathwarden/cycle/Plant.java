package org.bathwarden.cycle;

import java.time.Instant;
import java.time.LocalDate;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.bathwarden.alarm.AlarmSettings;
import org.bathwarden.dosing.CauseAndEffect;
import org.bathwarden.dosing.Delivery;
import org.bathwarden.dosing.DosingLimits;
import org.bathwarden.dosing.DosingSettings;
import org.bathwarden.dosing.Metering;
import org.bathwarden.dosing.Pair;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.estimate.EstimatorSheet;
import org.bathwarden.estimate.Priors;
import org.bathwarden.line.Permit;
import org.bathwarden.signal.SignalSettings;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.DrumCheck;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.MakeUpWater;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.MetalLimits;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Supply;
import org.bathwarden.tank.TankId;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.TemperatureWindow;
import org.bathwarden.tank.TitrationKit;

/** An invented tank: 1000 L at 20 °C and 10 %, so that nothing expands and numbers stay plain. */
final class Plant {

  static final Instant T0 = Instant.parse("2026-03-02T06:00:00Z");
  static final TankId TANK = new TankId("wash-1");
  static final String PRODUCT = "invented alkaline cleaner";
  static final Supply DRUM = new Supply("drum-1");
  static final Supply MAIN = new Supply("water-main");
  static final double CONCENTRATE_ML_PER_S = 100;
  static final double WATER_ML_PER_S = 300;
  static final int CONCENTRATE_ML_PER_PULSE = 10;
  static final int WATER_ML_PER_PULSE = 100;

  /** Invented solutions; the tank of {@link Bench} conducts like them. */
  static final ConductivityGrid GRID =
      new ConductivityGrid(
          List.of(
              new ConductivityGrid.Point(0.5, 20, 4),
              new ConductivityGrid.Point(5, 20, 33),
              new ConductivityGrid.Point(10, 20, 60),
              new ConductivityGrid.Point(15, 20, 82),
              new ConductivityGrid.Point(20, 20, 99),
              new ConductivityGrid.Point(10, 5, 43),
              new ConductivityGrid.Point(10, 60, 108)));

  /** A drum that a second person read, of a lot that is good for long. */
  static final DrumCheck CHECKED =
      new DrumCheck(LocalDate.parse("2028-03-31"), Optional.empty(), Optional.of("B. Second"));

  private Plant() {}

  static Sheet sheet(Mode mode) {
    return sheet(mode, Set.of(Metal.STEEL), Set.of());
  }

  static Sheet sheet(Mode mode, Set<Metal> metals, Set<Permit> bypassed) {
    return sheet(
        mode,
        metals,
        bypassed,
        new Metering(CONCENTRATE_ML_PER_PULSE, CONCENTRATE_ML_PER_S * 60 / 1000),
        new Metering(WATER_ML_PER_PULSE, WATER_ML_PER_S * 60 / 1000));
  }

  /** The tank behind a pump and a valve so slow that a portion takes more than six minutes. */
  static Sheet slow() {
    return sheet(
        Mode.COMMAND,
        Set.of(Metal.STEEL),
        Set.of(),
        new Metering(50, 15 * 60 / 1000.0),
        new Metering(100, 26 * 60 / 1000.0));
  }

  private static Sheet sheet(
      Mode mode, Set<Metal> metals, Set<Permit> bypassed, Metering concentrate, Metering water) {
    return sheet(tank(metals, 0), mode, bypassed, concentrate, water);
  }

  /** A spray machine whose pipes hold {@code holdupL} while the pump runs. */
  static Sheet spraying(double holdupL) {
    return sheet(
        tank(Set.of(Metal.STEEL), holdupL),
        Mode.COMMAND,
        Set.of(),
        new Metering(CONCENTRATE_ML_PER_PULSE, CONCENTRATE_ML_PER_S * 60 / 1000),
        new Metering(WATER_ML_PER_PULSE, WATER_ML_PER_S * 60 / 1000));
  }

  private static Sheet sheet(
      TankSheet tank, Mode mode, Set<Permit> bypassed, Metering concentrate, Metering water) {
    Map<Product, Delivery> deliveries = new EnumMap<>(Product.class);
    deliveries.put(Product.CONCENTRATE, new Delivery(Set.of(DRUM), true, 0.05));
    deliveries.put(Product.WATER, new Delivery(Set.of(MAIN), true, 0.05));
    return new Sheet(
        tank,
        SignalSettings.defaults(
            tank.geometry().workingL(),
            new SignalSettings.Meter(mlPerS(concentrate), concentrate.mlPerPulse()),
            new SignalSettings.Meter(mlPerS(water), water.mlPerPulse())),
        new EstimatorSheet(tank, 10, 0.3, Priors.standard()),
        new DosingSettings(
            Pair.alone(3),
            mode,
            DosingLimits.defaults(tank, concentrate, water),
            CauseAndEffect.standard(),
            Set.of(),
            deliveries,
            ProofPlan.exempt("a test PLC")),
        AlarmSettings.defaults(),
        bypassed,
        "fingerprint");
  }

  static double mlPerS(Metering meter) {
    return meter.rateLPerMin() * 1000 / 60;
  }

  private static TankSheet tank(Set<Metal> metals, double holdupL) {
    MetalLimits limits =
        new MetalLimits(
            OptionalDouble.of(9),
            OptionalDouble.of(13.5),
            OptionalDouble.empty(),
            OptionalDouble.of(55));
    ChemistrySheet chemistry =
        new ChemistrySheet(
            PRODUCT,
            EndPoint.FREE,
            true,
            GRID,
            new TitrationKit(0.35, TitrationKit.FactorFrom.NORMALITY, 0.3, 0.01),
            List.of(),
            -0.03,
            true,
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            Map.of(Metal.STEEL, limits, Metal.ALUMINIUM, limits),
            new TemperatureWindow(15, 50),
            new TemperatureWindow(15, 40));
    return new TankSheet(
        TANK,
        1,
        new Geometry(LevelKind.SURFACE, 1000, 900, 700, 500, 1150, 40, 10, holdupL, 1.2, 300),
        new Band(10, 8, 12),
        metals,
        chemistry,
        new MakeUpWater(0, 0, 15),
        100,
        20,
        0.5);
  }
}
