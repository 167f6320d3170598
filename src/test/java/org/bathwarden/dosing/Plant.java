package org.bathwarden.dosing;

import java.time.Instant;
import java.time.LocalDate;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Reading;
import org.bathwarden.signal.Signals;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.ConductivityGrid;
import org.bathwarden.tank.DrumCheck;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.MakeUpWater;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.MetalLimits;
import org.bathwarden.tank.Method;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;
import org.bathwarden.tank.TankSheet;
import org.bathwarden.tank.TemperatureWindow;
import org.bathwarden.tank.TitrationKit;

/** An invented tank: 1000 L at 20 °C and 10 %, so that nothing expands and numbers stay plain. */
final class Plant {

  /** Reads 0.2 on water and 2 % for each unit, up to 15 % and on a bath of at most ten days. */
  static final Method REFRACTOMETER =
      new Method(
          "refractometer",
          EndPoint.FREE,
          "% Brix",
          2,
          0.2,
          0.1,
          0.05,
          0.05,
          0.03,
          new Method.Range(2, 15),
          OptionalDouble.of(10),
          false);

  static final Instant T0 = Instant.parse("2026-03-02T06:00:00Z");
  static final Now NOW = Now.at(T0);
  static final TankId TANK = new TankId("wash-1");
  static final Band BAND = new Band(10, 8, 12);
  static final TankSheet SHEET = sheet(Set.of(Metal.STEEL));
  static final DosingLimits LIMITS = DosingLimits.defaults(SHEET);

  /** A drum that a second person read, of a lot that is good for long. */
  static final DrumCheck CHECKED =
      new DrumCheck(LocalDate.parse("2028-03-31"), Optional.empty(), Optional.of("B. Second"));

  private Plant() {}

  static TankSheet sheet(Set<Metal> metals) {
    MetalLimits steel =
        new MetalLimits(
            OptionalDouble.of(9),
            OptionalDouble.of(13.5),
            OptionalDouble.empty(),
            OptionalDouble.empty());
    MetalLimits aluminium =
        new MetalLimits(
            OptionalDouble.of(9),
            OptionalDouble.of(10.5),
            OptionalDouble.of(11),
            OptionalDouble.empty());
    ChemistrySheet chemistry =
        new ChemistrySheet(
            "Invented alkaline cleaner",
            EndPoint.FREE,
            true,
            new ConductivityGrid(List.of()),
            new TitrationKit(0.35, TitrationKit.FactorFrom.NORMALITY, 0.3, 0.01),
            List.of(REFRACTOMETER),
            -0.03,
            true,
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            Map.of(Metal.STEEL, steel, Metal.ALUMINIUM, aluminium),
            new TemperatureWindow(15, 30),
            new TemperatureWindow(15, 30));
    return new TankSheet(
        TANK,
        1,
        new Geometry(LevelKind.SURFACE, 1000, 900, 700, 500, 1150, 40, 10, 0, 1.2, 300),
        BAND,
        metals,
        chemistry,
        new MakeUpWater(0, 0, 15),
        100,
        20,
        1);
  }

  static Stamp stamp(String id) {
    return new Stamp(id, TANK, "A. Chemist", Stamp.Channel.CONSOLE, T0, T0);
  }

  static Belief belief(double concentrationPct, double u, double volumeL) {
    return new Belief(concentrationPct, u, volumeL, 3, 0, 1, 0.01);
  }

  static TitrationFacts titrated(double deficitL) {
    return new TitrationFacts(
        Optional.of(T0.minusSeconds(3600)), false, deficitL, 10, 0, TitrationCalls.NONE);
  }

  static Verdict free() {
    return restricted(Product.WATER, Set.of());
  }

  static Verdict restricted(Product product, Set<Restriction> restrictions) {
    Map<Product, Permission> permissions = new EnumMap<>(Product.class);
    for (Product each : Product.values()) {
      permissions.put(
          each, new Permission(new TreeSet<>(), each == product ? restrictions : Set.of()));
    }
    return new Verdict(permissions, false, Set.of(), Set.of());
  }

  static NeedInput need(Belief belief, double levelL) {
    return new NeedInput(
        SHEET,
        LIMITS,
        belief,
        Unsettled.NONE,
        levelL,
        20,
        0,
        titrated(1000),
        false,
        Ledger.EMPTY,
        free(),
        NOW);
  }

  static final int ALL_PERMITS =
      Permit.REMOTE.bit()
          | Permit.EMERGENCY_STOP.bit()
          | Permit.CIRCULATION.bit()
          | Permit.DRAIN_CLOSED.bit()
          | Permit.CONCENTRATE_AVAILABLE.bit()
          | Permit.WATER_AVAILABLE.bit()
          | Permit.OVERFLOW_CLEAR.bit()
          | Permit.NO_ONE_AT_TANK.bit();

  static PlcWords words(int permits, int faults) {
    return new PlcWords(
        1,
        permits,
        faults,
        0,
        0,
        0,
        0,
        0,
        0,
        0,
        0,
        1,
        0,
        20000,
        50000,
        1200,
        2,
        12345.678f,
        16909060L,
        1);
  }

  static LineFacts line(PlcWords words) {
    return new LineFacts(
        Optional.of(words), true, Set.of(), Optional.empty(), Optional.empty(), 10, true, Set.of());
  }

  static Signals signals(Map<Point, Reading> changed) {
    Map<Point, Reading> readings = new EnumMap<>(Point.class);
    readings.put(Point.LEVEL, Reading.good(1000, T0));
    readings.put(Point.TEMPERATURE, Reading.good(20, T0));
    readings.put(Point.CONDUCTIVITY, Reading.good(40, T0));
    readings.put(Point.PH, Reading.good(12, T0));
    readings.putAll(changed);
    return new Signals(T0, readings, 1000, 0, 0, 0, false, true, true);
  }

  static Bath inUse() {
    return Bath.in(BathState.IN_USE, T0.minusSeconds(86400));
  }

  static CauseInput quiet() {
    return new CauseInput(
        SHEET,
        LIMITS,
        line(words(ALL_PERMITS, 0)),
        signals(Map.of()),
        belief(10, 0.2, 1000),
        inUse(),
        titrated(0),
        Ledger.EMPTY,
        new Surroundings(true, Set.of(), 0, false, false),
        NOW);
  }
}
