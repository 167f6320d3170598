package org.bathwarden.config;

import java.time.Duration;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import org.bathwarden.cycle.Sheet;
import org.bathwarden.dosing.CauseAndEffect;
import org.bathwarden.dosing.Delivery;
import org.bathwarden.dosing.DosingLimits;
import org.bathwarden.dosing.DosingSettings;
import org.bathwarden.dosing.Metering;
import org.bathwarden.dosing.Pair;
import org.bathwarden.dosing.ProcedureSettings;
import org.bathwarden.dosing.ProductLimits;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.estimate.EstimatorSheet;
import org.bathwarden.estimate.Priors;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Permit;
import org.bathwarden.line.pulse.PulseSettings;
import org.bathwarden.signal.SignalSettings;
import org.bathwarden.tank.Band;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.ChemistrySheet;
import org.bathwarden.tank.Geometry;
import org.bathwarden.tank.LevelKind;
import org.bathwarden.tank.MakeUpWater;
import org.bathwarden.tank.Metal;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.bathwarden.tank.TankSheet;

/** Makes the settings of one tank from its section. */
final class TankReader {

  /** What the limits are worked out from: if it is wrong, they only say so again. */
  private static final List<String> DRAWN_ON =
      List.of("geometry", "band", "make_up_water", "concentrate", "water");

  private final Pair pair;
  private final SupplyReader supplies;
  private final String fingerprint;
  private final boolean rehearsal;
  private final Predicate<Section> sound;
  private final List<Problem> problems;

  TankReader(
      Pair pair,
      SupplyReader supplies,
      String fingerprint,
      boolean rehearsal,
      Predicate<Section> sound,
      List<Problem> problems) {
    this.sound = sound;
    this.pair = pair;
    this.supplies = supplies;
    this.fingerprint = fingerprint;
    this.rehearsal = rehearsal;
    this.problems = problems;
  }

  /**
   * Reads a tank.
   *
   * @param address where its PLC is reached
   * @param unit unit id of its line, for its coils
   */
  Configuration.Tank read(
      Section tank, ChemistrySheet chemistry, ItemMap items, String address, int unit) {
    TankSheet sheet = sheet(tank, chemistry);
    Contradictions.of(tank, sheet, problems);
    SupplyReader.Feed concentrate = supplies.feed(tank, Product.CONCENTRATE);
    SupplyReader.Feed water = supplies.feed(tank, Product.WATER);
    DosingLimits limits = limits(tank, sheet, concentrate.metering(), water.metering());
    if (DRAWN_ON.stream().map(tank::section).allMatch(sound)) {
      Contradictions.limits(tank, sheet, limits, problems);
      Contradictions.flow(concentrate, limits.concentrate().portionL(), problems);
      Contradictions.flow(water, limits.water().portionL(), problems);
    }

    Set<Permit> unwired = items.unwired();
    Set<Permit> signed = new HashSet<>(ItemMapReader.signedOff(tank));
    Set<Permit> unsigned = new HashSet<>(unwired);
    unsigned.removeAll(signed);
    unsigned.remove(Permit.LEVEL_SETTLED);
    Set<Permit> bypassed = new HashSet<>(signed);
    bypassed.remove(Permit.LEVEL_SETTLED);
    Mode mode = tank.word(Mode.class, "mode", Mode.PROPOSE);
    if (mode == Mode.COMMAND && !unsigned.isEmpty()) {
      problems.add(
          tank.warning(
              "mode",
              "permits not wired: "
                  + unsigned.stream().map(Section::word).sorted().toList()
                  + "; the tank stays in propose until an engineer signs them off"));
      mode = Mode.PROPOSE;
    }
    if (mode == Mode.COMMAND && !chemistry.titrated()) {
      problems.add(
          tank.warning(
              "mode", "the product has no titration; without one the tank stays in propose"));
      mode = Mode.PROPOSE;
    }
    Map<Product, Delivery> deliveries = new EnumMap<>(Product.class);
    Optional<PulseSettings> pulse = PulseReader.settings(tank, unit, concentrate, water, problems);
    for (Product product : Product.values()) {
      SupplyReader.Feed feed = product == Product.CONCENTRATE ? concentrate : water;
      deliveries.put(
          product, feed.delivery().unseen(pulse.map(p -> p.unseenMl(product)).orElse(0.0)));
    }
    CauseAndEffect table = CauseAndEffect.standard();
    ProofPlan proofs =
        new ProofPlanReader(address, items, sheet, limits, table)
            .read(tank, rehearsal, deliveries, fingerprint, problems);
    ProcedureSettings procedures = ProcedureReader.read(tank, sheet.geometry(), problems);
    Section start = tank.section("start");
    return new Configuration.Tank(
        new Sheet(
            sheet,
            SignalSettings.defaults(
                sheet.geometry().workingL(),
                meter(concentrate.metering()),
                meter(water.metering())),
            new EstimatorSheet(
                sheet,
                start.number("concentration_pct", sheet.band().targetPct()),
                start.number("u_pct", 0.15 * sheet.band().targetPct()),
                Priors.standard()),
            new DosingSettings(pair, mode, limits, table, unsigned, deliveries, proofs, procedures),
            AlarmReader.read(tank, problems),
            bypassed,
            fingerprint),
        items,
        tank.word(BathState.class, "bath_state", BathState.IN_USE),
        pulse);
  }

  private static SignalSettings.Meter meter(Metering metering) {
    return new SignalSettings.Meter(metering.rateLPerMin() * 1000 / 60, metering.mlPerPulse());
  }

  private static TankSheet sheet(Section tank, ChemistrySheet chemistry) {
    Section water = tank.section("make_up_water");
    Set<Metal> metals = new HashSet<>();
    tank.words("metals").forEach(word -> metals.add(Section.constant(Metal.class, word)));
    return new TankSheet(
        new TankId(tank.text("name", "")),
        tank.whole("number", 0),
        geometry(tank.section("geometry")),
        band(tank.section("band")),
        metals,
        chemistry,
        new MakeUpWater(
            water.number("strength_pct", 0),
            water.number("strength_u_pct", 0),
            water.number("temperature_c", 15)),
        tank.section("concentrate").number("strength_pct", 100),
        tank.number("temperature_setpoint_c", Double.NaN),
        tank.number("drag_out_l_per_load", 0),
        tank.number("drag_in_l_per_load", 0));
  }

  static Geometry geometry(Section g) {
    return new Geometry(
        g.word(LevelKind.class, "level_kind", LevelKind.SURFACE),
        g.number("working_l", Double.NaN),
        g.number("low_level_l", Double.NaN),
        g.number("minimum_l", Double.NaN),
        g.number("heater_guard_l", Double.NaN),
        g.number("maximum_l", Double.NaN),
        g.number("load_displacement_l", 0),
        g.number("foam_allowance_l", 0),
        g.number("holdup_l", 0),
        g.number("surface_m2", Double.NaN),
        g.number("circulation_l_per_min", 0));
  }

  static Band band(Section band) {
    return new Band(
        band.number("target_pct", Double.NaN),
        band.number("low_pct", Double.NaN),
        band.number("high_pct", Double.NaN));
  }

  private static DosingLimits limits(
      Section tank, TankSheet sheet, Metering concentrate, Metering water) {
    DosingLimits standard = DosingLimits.defaults(sheet, concentrate, water);
    Section own = tank.section("limits");
    return new DosingLimits(
        product(own.section("concentrate"), standard.concentrate()),
        product(own.section("water"), standard.water()),
        concentrate,
        water,
        standard.headroomL(),
        own.number("water_cooling_k", standard.waterCoolingK()),
        own.duration("mixing_wait", standard.mixingWait()),
        own.number("alpha", standard.alpha()),
        standard.askWidthShare(),
        standard.holdWidthShare(),
        standard.reducedShare(),
        standard.newLotShare(),
        tank.section("titration").duration("interval", Duration.ofHours(24)),
        tank.section("titration").truth("before_first_load", true));
  }

  private static ProductLimits product(Section own, ProductLimits standard) {
    return new ProductLimits(
        own.number("smallest_portion_l", standard.smallestPortionL()),
        own.number("portion_l", standard.portionL()),
        own.number("per_hour_l", standard.perHourL()),
        own.number("per_8h_l", standard.per8hL()),
        own.number("since_titration_l", standard.sinceTitrationL()));
  }
}
