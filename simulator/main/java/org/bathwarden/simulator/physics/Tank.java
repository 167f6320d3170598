package org.bathwarden.simulator.physics;

import java.time.LocalDateTime;
import java.util.SplittableRandom;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;

/**
 * One tank with all that belongs to it. Pumps, meters and switches move in every step; chemistry,
 * heat, loads and transmitters once a second. One thread; the same seed and the same inputs give
 * the same tank.
 */
public final class Tank {

  private static final double FLAP_S = 2.0;
  private static final double SETTLES_S = 20.0;

  private final Plant plant;
  private final Drum drum;
  private final Room room;
  private final Bath bath;
  private final Traffic traffic;
  private final Instruments instruments;
  private final DosingLine concentrateLine;
  private final DosingLine waterLine;
  private final Faults faults = new Faults();
  private final SplittableRandom people;
  private final double dragOutFactor;
  private final double evaporationFactor;

  private Speciation ions;
  private double conductivityMsCm;
  private boolean heating;
  private boolean inUse;
  private double clockS;
  private double concentrateInL;
  private double waterInL;
  private double dragOutL;
  private double lostL;

  /**
   * A tank of {@code plant}, fed from {@code drum}, in {@code room}, from {@code local} time on.
   */
  public Tank(Plant plant, Drum drum, Room room, LocalDateTime local, SplittableRandom random) {
    this.inUse = plant.loads().inUseAround(local);
    this.plant = plant;
    this.drum = drum;
    this.room = room;
    Unknowns unknowns = plant.unknowns();
    this.dragOutFactor = Unknowns.factor(unknowns.dragOutPct(), random);
    this.evaporationFactor = Unknowns.factor(unknowns.evaporationPct(), random);
    TankType type = plant.type();
    this.concentrateLine =
        new DosingLine(type.concentrate(), Unknowns.factor(unknowns.meterPct(), random));
    this.waterLine = new DosingLine(type.water(), Unknowns.factor(unknowns.meterPct(), random));
    this.traffic = new Traffic(plant.loads(), random.split());
    this.people = random.split();
    double setpointC = type.heating().setpointC();
    Liquor charge =
        plant.charge().liquor(drum.product(), plant.water(), plant.endPoint(), setpointC);
    this.bath = new Bath(charge, setpointC);
    this.ions = Speciation.of(bath.atProbe(), setpointC);
    readProbe();
    this.instruments =
        new Instruments(seen(), type.geometry().workingL(), unknowns, random.split());
  }

  /** Runs the fast part on by {@code dtS} seconds: pumps, valves, meters and what they bring. */
  public void flow(double dtS, Actuators actuators) {
    clockS += dtS;
    boolean pump = actuators.concentratePump() || faults.is(FaultKind.PANEL_RUN, 1);
    boolean valve = actuators.waterValve() || faults.is(FaultKind.PANEL_RUN, 2);
    double siphon = faults.size(FaultKind.SIPHON, 0.0);
    double slip = faults.size(FaultKind.PUMP_SLIP, 0.0);
    double drawn =
        concentrateLine.draw(dtS, pump, faults.is(FaultKind.WELDED_CONTACT, 1), slip, siphon);
    if (drawn > 0.0 && !faults.on(FaultKind.EMPTY_DRUM)) {
      double given = drum.take(drawn);
      concentrateLine.count(given, faults.size(FaultKind.LYING_TOTALIZER, 1.0));
      pour(Supply.CONCENTRATE, given);
    }
    double run = waterLine.draw(dtS, valve, faults.is(FaultKind.WELDED_CONTACT, 2), 0.0, 0.0);
    if (run > 0.0) {
      waterLine.count(run, 1.0);
      pour(Supply.WATER, run);
    }
  }

  /**
   * Runs everything else on by {@code dtS} seconds.
   *
   * @param local local time, for the shifts
   */
  public void settle(double dtS, LocalDateTime local) {
    if (local.getSecond() == 0) {
      inUse = plant.loads().inUseAround(local);
    }
    parts(dtS, local);
    losses(dtS);
    heatBalance(dtS);
    bath.skim(plant.type().oilSkimPerH() * dtS / 3600.0);
    bath.mix(dtS, plant.type().circulationLPerH(), circulating());
    ions = Speciation.of(bath.atProbe(), bath.temperatureC());
    readProbe();
    instruments.step(dtS, seen(), faults);
  }

  /** What sensors, meters and switches show. */
  public FieldSignals signals() {
    Instruments.Seen seen = instruments.shown();
    int panel = faults.on(FaultKind.PANEL_RUN) ? (int) faults.size(FaultKind.PANEL_RUN, 0) : 0;
    return new FieldSignals(
        seen.levelL(),
        seen.temperatureC(),
        seen.conductivityMsCm(),
        seen.ph(),
        concentrateLine.meterMl(),
        waterLine.meterMl(),
        traffic.loads(),
        permits(),
        instruments.declaredBad(),
        panel,
        concentrateLine.closed(),
        waterLine.closed());
  }

  /** What is really in it. */
  public Truth truth() {
    Liquor all = bath.all();
    return new Truth(
        pct(all, plant.endPoint()),
        pct(all, EndPoint.FREE),
        pct(all, EndPoint.TOTAL),
        bath.litres(),
        bath.litresAt20(),
        bath.temperatureC(),
        ions.ph(),
        conductivityMsCm,
        1000.0 * all.perLitre(Liquor.SALT),
        1000.0 * all.perLitre(Liquor.CARBON),
        all.perLitre(Liquor.SURFACTANT),
        100.0 * all.perLitre(Liquor.OIL),
        1000.0 * concentrateInL,
        1000.0 * waterInL,
        dragOutL,
        bath.evaporatedL(),
        lostL,
        traffic.loads());
  }

  /** Counts the drops of a test of a sample drawn now where the parts are. */
  public int titrate(DropTest test) {
    return test.count(pct(bath.atProbe(), plant.endPoint()), people);
  }

  /** Starts a fault; {@code size} in the unit of its kind. */
  public void start(FaultKind kind, double size) {
    switch (kind) {
      case UNBOOKED_POUR -> pour(Supply.CONCENTRATE, size);
      case UNBOOKED_WATER -> pour(Supply.WATER, size);
      default -> faults.set(kind, size);
    }
  }

  /** Ends a fault. A film or a drift stays until the probe is cleaned. */
  public void end(FaultKind kind) {
    faults.clear(kind);
  }

  /** Someone cleans and calibrates the probes. */
  public void cleanProbes() {
    instruments.clean();
  }

  /** Someone drains {@code litres} of hot bath. */
  public void drain(double litres) {
    lostL += bath.takeOut(litres);
  }

  /** Adds {@code litres} that no meter sees. */
  public void pour(Supply supply, double litres) {
    if (supply == Supply.WATER) {
      waterInL += litres;
      bath.pour(Mixture.water(plant.water(), litres), plant.water().temperatureC());
      return;
    }
    concentrateInL += litres;
    double alkali = faults.size(FaultKind.WRONG_PRODUCT, -1.0);
    Liquor what =
        alkali < 0.0
            ? Mixture.concentrate(drum.product(), drum.strength(), litres)
            : Mixture.wrongProduct(drum.product(), alkali, litres);
    bath.pour(what, room.temperatureC());
  }

  /** Conductivity of a fresh mixture at {@code pct} % and {@code temperatureC}, mS/cm. */
  public double freshConductivityMsCm(double pct, double temperatureC) {
    Liquor fresh = new Liquor();
    fresh.add(Mixture.concentrate(drum.product(), 1.0, pct));
    fresh.add(Mixture.water(plant.water(), 100.0 - pct));
    return Conductivity.msCm(Speciation.of(fresh, temperatureC), temperatureC, 0.0);
  }

  /** The liquid itself, for checks of the balance. */
  Bath bath() {
    return bath;
  }

  private double pct(Liquor liquor, EndPoint endPoint) {
    return Math.max(0.0, 100.0 * liquor.alkalinityEqL(endPoint) / drum.product().eqL(endPoint));
  }

  private boolean circulating() {
    return inUse && !faults.on(FaultKind.CIRCULATION_OFF);
  }

  private void readProbe() {
    double oil = Math.min(0.5, bath.atProbe().perLitre(Liquor.OIL));
    conductivityMsCm = Conductivity.msCm(ions, bath.temperatureC(), oil);
  }

  private Instruments.Seen seen() {
    double liquid =
        plant.type().level() == LevelKind.SURFACE
            ? bath.litres()
            : bath.litresAt20() * (1.0 + 0.002 * pct(bath.atProbe(), EndPoint.TOTAL));
    return new Instruments.Seen(
        liquid + partsL(), bath.temperatureC(), conductivityMsCm, ions.ph());
  }

  /** Volume of the parts in the bath, L. */
  private double partsL() {
    return traffic.inBath() ? plant.loads().displacementL() : 0.0;
  }

  /** Where the surface stands: liquid and parts, L. */
  private double surfaceL() {
    return bath.litres() + partsL();
  }

  private void parts(double dtS, LocalDateTime local) {
    LoadProfile loads = plant.loads();
    switch (traffic.step(dtS, local, faults.size(FaultKind.LOAD_BURST, 1.0))) {
      case ENTERED -> {
        bath.heat(-loads.heatKjPerK() * (bath.temperatureC() - room.temperatureC()));
        bath.pour(Mixture.dragIn(loads), room.temperatureC());
      }
      case LEFT ->
          dragOutL += bath.takeOut(loads.dragOutL() * dragOutFactor * traffic.dragOutFactor());
      case NOTHING -> {}
    }
  }

  private void losses(double dtS) {
    TankType type = plant.type();
    double surface = type.geometry().surfaceM2();
    double kg =
        evaporationFactor
            * surface
            * dtS
            / 3600.0
            * Evaporation.kgPerHourM2(
                bath.temperatureC(),
                1.0 - 0.035 * Math.min(1.0, bath.atProbe().perLitre(Liquor.ALKALINITY)),
                room.temperatureC(),
                room.humidityPct());
    bath.evaporate(kg);
    bath.heat(-kg * Water.latentKJPerKg(bath.temperatureC()));
    // Strong alkali takes all the gas that reaches it; a nearly spent one hardly any.
    double eager = ions.hydroxide() / (ions.hydroxide() + 0.01);
    bath.takeUpCarbonDioxide(type.carbonDioxideMolM2H() * surface * eager * dtS / 3600.0);
    double leakL = faults.size(FaultKind.LEAK, 0.0) * dtS / 3600.0;
    double drainL = faults.size(FaultKind.DRAIN_OPEN, 0.0) * dtS / 60.0;
    double overL = Math.max(0.0, surfaceL() - type.geometry().brimL());
    if (leakL + drainL + overL > 0.0) {
      lostL += bath.takeOut(leakL + drainL + overL);
    }
  }

  private void heatBalance(double dtS) {
    TankType.Heating data = plant.type().heating();
    double lowC = data.setpointC() - 0.7;
    boolean wanted = bath.temperatureC() < (heating ? data.setpointC() + 0.3 : lowC);
    heating = wanted && inUse && !faults.on(FaultKind.HEATER_OFF);
    double wallKw = data.wallWPerK() / 1000.0 * (bath.temperatureC() - room.temperatureC());
    bath.heat(dtS * ((heating ? data.heaterKw() : 0.0) - wallKw));
  }

  private int permits() {
    int bits = 0;
    for (Permit permit : Permit.values()) {
      bits |= holds(permit) ? permit.bit() : 0;
    }
    return bits;
  }

  private boolean holds(Permit permit) {
    boolean flapsOff =
        faults.is(FaultKind.FLAPPING_PERMIT, permit.ordinal()) && clockS % (2 * FLAP_S) < FLAP_S;
    if (flapsOff || faults.is(FaultKind.PERMIT_LOSS, permit.ordinal())) {
      return false;
    }
    return switch (permit) {
      case REMOTE, EMERGENCY_STOP, WATER, NO_ONE -> true;
      case CIRCULATION -> circulating();
      case DRAIN_CLOSED -> !faults.on(FaultKind.DRAIN_OPEN);
      case CONCENTRATE -> !drum.low() && !faults.is(FaultKind.EMPTY_DRUM, 1);
      case FLOAT_CLEAR -> surfaceL() < plant.type().geometry().floatL();
      case LEVEL_SETTLED -> traffic.sinceLeftS() > SETTLES_S;
    };
  }
}
