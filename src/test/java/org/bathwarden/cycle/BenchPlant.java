package org.bathwarden.cycle;

import java.time.Duration;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.UnaryOperator;
import org.bathwarden.dosing.Metering;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Link;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteOutcome;
import org.bathwarden.line.WriteResult;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Reading;
import org.bathwarden.simulator.field.Actuators;
import org.bathwarden.simulator.field.FieldSignals;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.Plc;
import org.bathwarden.simulator.plc.PlcConfig;
import org.bathwarden.simulator.plc.PlcImage;
import org.bathwarden.simulator.plc.ToPlc;
import org.bathwarden.tank.Now;

/**
 * The tank of {@link Plant} with the simulator's PLC program. The tank itself is as plain as can
 * be: what flows in mixes at once, and the test says what leaves, what is measured and which
 * permits are given.
 */
abstract class BenchPlant {

  static final int ALL_PERMITS = 0x1FF;
  static final int SCANS_PER_S = 10;

  Sheet sheet;
  final Map<Point, Reading> shown = new EnumMap<>(Point.class);

  // what a test may set
  double volumeL = 1000;
  double alkaliL = 100;
  double temperatureC = 20;
  double ph = 12;
  double drumPct = 100;
  double litresLostPerS;
  double strayMlPerS;
  long loads;
  int permits = ALL_PERMITS;
  int sensorFaults;
  int panelKind;
  boolean contactorStuck;
  boolean linkUp = true;
  boolean pumpWorks = true;
  boolean valveWorks = true;
  boolean hoseOff;
  double meterShare = 1;

  /** What the PLC's words are made to say. */
  UnaryOperator<PlcWords> lies = UnaryOperator.identity();

  Duration wallAhead = Duration.ZERO;
  private final Plc plc;
  private final Metering concentrateMeter;
  private final Metering waterMeter;
  private Actuators outputs = Actuators.OFF;
  private double concentrateMl;
  private double waterMl;
  private long countedConcentrateMl;
  private long countedWaterMl;
  long millis;

  BenchPlant(Sheet sheet, double volumeL, double pct) {
    this.sheet = sheet;
    this.volumeL = volumeL;
    this.alkaliL = pct * volumeL / 100;
    this.concentrateMeter = sheet.dosing().limits().concentrateMeter();
    this.waterMeter = sheet.dosing().limits().waterMeter();
    this.plc =
        new Plc(
            List.of(
                new PlcConfig(
                    1,
                    supply("pump", concentrateMeter, 20_000, 400_000),
                    supply("valve", waterMeter, 100_000, 900_000),
                    1200,
                    1140,
                    true)));
    scans(SCANS_PER_S);
  }

  private static PlcConfig.Supply supply(
      String name, Metering meter, int largestOrderMl, int dailyMl) {
    return new PlcConfig.Supply(
        name, Plant.mlPerS(meter), (int) meter.mlPerPulse(), largestOrderMl, dailyMl);
  }

  Now now() {
    return new Now(Plant.T0.plusMillis(millis), Plant.T0.plusMillis(millis).plus(wallAhead));
  }

  double truePct() {
    return 100 * alkaliL / volumeL;
  }

  /** Makes the bath {@code pct} strong, unseen. */
  void strength(double pct) {
    alkaliL = pct * volumeL / 100;
  }

  /**
   * Fills or empties the tank to {@code litres}, unseen, and leaves the bath as strong as it is.
   */
  void level(double litres) {
    alkaliL *= litres / volumeL;
    volumeL = litres;
  }

  void scans(int count) {
    double conductivity = conductivityMsCm();
    double pumpMlPerS = Plant.mlPerS(concentrateMeter);
    double valveMlPerS = Plant.mlPerS(waterMeter);
    for (int i = 0; i < count; i++) {
      boolean pump = outputs.concentratePump() || contactorStuck || panelKind == 1;
      double concentrate = pump && pumpWorks ? pumpMlPerS / SCANS_PER_S : 0;
      boolean open = outputs.waterValve() || panelKind == 2;
      double water = ((open && valveWorks ? valveMlPerS : 0) + strayMlPerS) / SCANS_PER_S;
      double lost = Math.min(litresLostPerS / SCANS_PER_S, volumeL / 2);
      alkaliL += (hoseOff ? 0 : concentrate) * drumPct / 100_000 - lost * alkaliL / volumeL;
      volumeL += (hoseOff ? 0 : concentrate + water) / 1000 - lost;
      concentrateMl += concentrate * meterShare;
      waterMl += water;
      countedConcentrateMl = pulses(concentrateMl, concentrateMeter);
      countedWaterMl = pulses(waterMl, waterMeter);
      millis += 1000 / SCANS_PER_S;
      outputs = plc.scan(List.of(field(conductivity, pump, open))).get(0);
    }
  }

  /** As the grid says, below its weakest solution in proportion. */
  private double conductivityMsCm() {
    double weakest = Plant.GRID.points().get(0).concentrationPct();
    return Math.min(1, truePct() / weakest)
        * Plant.GRID
            .conductivityMsCm(Math.max(weakest, truePct()), temperatureC)
            .orElse(Double.NaN);
  }

  private static long pulses(double ml, Metering meter) {
    long mlPerPulse = (long) meter.mlPerPulse();
    return (long) Math.floor((ml + 1e-6) / mlPerPulse) * mlPerPulse;
  }

  private FieldSignals field(double conductivityMsCm, boolean pump, boolean open) {
    return new FieldSignals(
        volumeL,
        temperatureC,
        conductivityMsCm,
        ph,
        countedConcentrateMl,
        countedWaterMl,
        loads,
        permits,
        sensorFaults,
        panelKind,
        pump,
        open);
  }

  WriteOutcome carryOut(LineWrite write) {
    if (!linkUp) {
      return new WriteOutcome(write, WriteResult.NOT_SENT);
    }
    if (write instanceof LineWrite.Beat beat) {
      wire(
          Map.of(
              ToPlc.HEARTBEAT_EPOCH,
              beat.epoch(),
              ToPlc.CONTROLLER_HEARTBEAT,
              (long) beat.heartbeat()));
    } else if (write instanceof LineWrite.Abandon abandon) {
      wire(Map.of(ToPlc.ABANDON_TO, abandon.upTo()));
    } else if (write instanceof LineWrite.ClaimEpoch claim) {
      wire(Map.of(ToPlc.EPOCH_CONFIRM, 0L));
      scans(1);
      wire(Map.of(ToPlc.EPOCH_REQUEST, claim.epoch(), ToPlc.EPOCH_CONFIRM, claim.epoch()));
    } else if (write instanceof LineWrite.Submit submit) {
      var block = submit.block();
      wire(
          Map.of(
              ToPlc.ORDER_KIND, (long) block.product().orderKind(),
              ToPlc.ORDER_VOLUME_ML, block.volumeMl(),
              ToPlc.ORDER_TIME_LIMIT_S, (long) block.timeLimitS(),
              ToPlc.ORDER_NUMBER, block.number(),
              ToPlc.ORDER_EPOCH, block.epoch(),
              ToPlc.ORDER_BASIS, (long) block.basis(),
              ToPlc.ORDER_CHECK, (long) block.check(submit.tankNumber())));
      wire(Map.of(ToPlc.ORDER_COMMIT, block.number()));
    }
    return new WriteOutcome(write, WriteResult.DONE);
  }

  private void wire(Map<ToPlc, Long> items) {
    plc.wire(0).apply(items);
  }

  /** The PLC itself, for what people and other controllers do to it. */
  Plc plc() {
    return plc;
  }

  TankImage image() {
    PlcImage read = plc.memory(0).image();
    var at = now().steady();
    Map<Point, Reading> points = new EnumMap<>(Point.class);
    int faults = (int) read.get(FromPlc.FAULTS);
    points.put(Point.LEVEL, measured(read, FromPlc.LEVEL_L, faults, 0));
    points.put(Point.TEMPERATURE, measured(read, FromPlc.TEMPERATURE_C, faults, 1));
    points.put(Point.CONDUCTIVITY, measured(read, FromPlc.CONDUCTIVITY_MS_CM, faults, 2));
    points.put(Point.PH, measured(read, FromPlc.PH, faults, 3));
    points.put(Point.CONCENTRATE_TOTAL, Reading.good(read.get(FromPlc.CONCENTRATE_TOTAL_ML), at));
    points.put(Point.WATER_TOTAL, Reading.good(read.get(FromPlc.WATER_TOTAL_ML), at));
    points.put(Point.LOADS_TOTAL, Reading.good(read.get(FromPlc.LOADS_TOTAL), at));
    points.putAll(shown);
    if (!linkUp) {
      points.replaceAll((point, reading) -> Reading.bad(Quality.Reason.NO_LINK, at));
    }
    return new TankImage(
        Plant.TANK,
        at,
        new Link(linkUp, linkUp ? "" : "cut", Plant.T0),
        linkUp ? Optional.of(lies.apply(words(read))) : Optional.empty(),
        points);
  }

  private Reading measured(PlcImage read, FromPlc item, int faults, int bit) {
    double value = read.f32(item);
    var at = now().steady();
    if ((faults & (1 << bit)) != 0) {
      return Reading.bad(Quality.Reason.FAULT_DECLARED, at);
    }
    return Double.isFinite(value)
        ? Reading.good(value, at)
        : Reading.bad(Quality.Reason.NOT_A_NUMBER, at);
  }

  private static PlcWords words(PlcImage read) {
    return new PlcWords(
        (int) read.get(FromPlc.PLC_HEARTBEAT),
        (int) read.get(FromPlc.PERMITS),
        (int) read.get(FromPlc.FAULTS),
        (int) read.get(FromPlc.ORDER_STATE),
        read.get(FromPlc.ORDER_TAKEN),
        read.get(FromPlc.ORDER_DELIVERED_ML),
        (int) read.get(FromPlc.ORDER_REASON),
        read.get(FromPlc.ORDER_FINAL),
        read.get(FromPlc.REFUSED_NUMBER),
        (int) read.get(FromPlc.REFUSED_REASON),
        read.get(FromPlc.ABANDONED_TO),
        read.get(FromPlc.HOLDER_EPOCH),
        (int) read.get(FromPlc.HEARTBEAT_SEEN),
        read.get(FromPlc.LIMIT_CONCENTRATE_ML),
        read.get(FromPlc.LIMIT_WATER_ML),
        (int) read.get(FromPlc.LIMIT_TIME_S),
        (int) read.get(FromPlc.CONTRACT_VERSION),
        read.f32(FromPlc.CHECK_F32),
        read.get(FromPlc.CHECK_U32),
        (int) read.get(FromPlc.TANK_NUMBER));
  }

  void without(Permit permit) {
    permits &= ~permit.bit();
  }

  void with(Permit permit) {
    permits |= permit.bit();
  }
}
