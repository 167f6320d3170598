package org.bathwarden.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.line.LineRig.Trouble;
import org.bathwarden.signal.CurrentInput;
import org.bathwarden.signal.Input;
import org.bathwarden.signal.PhElectrodeInput;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Pt100Input;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** What a reader gives of a line that is in order, or wired otherwise than thought. */
public abstract class LineReadingSuite {

  static final TankId ONE = new TankId("one");
  static final TankId TWO = new TankId("two");
  static final Instant AT = Instant.parse("2026-05-04T06:00:00Z");
  static final Duration SECOND = Duration.ofSeconds(1);

  final LineRig rig = rig();
  Instant at = AT;
  LineReader reader = rig.open(Map.of(ONE, rig.map(1), TWO, rig.map(2)));

  /** A fresh PLC with two tanks. */
  protected abstract LineRig rig();

  @AfterEach
  void close() {
    reader.close();
    rig.close();
  }

  void openWith(ItemMap one) {
    reader.close();
    reader = rig.open(Map.of(ONE, one, TWO, rig.map(2)));
  }

  static Deadline within(Duration duration) {
    return new Deadline(System.nanoTime() + duration.toNanos());
  }

  static Deadline soon() {
    return within(Duration.ofSeconds(20));
  }

  /** Runs the PLC on by a second and reads tank one. */
  TankImage read() {
    rig.advance(SECOND);
    at = at.plus(SECOND);
    return reader.read(List.of(ONE), at, soon()).get(0);
  }

  /** Reads until the link is up again; each attempt is bounded by its own deadline. */
  TankImage readUntilUp() {
    TankImage image = read();
    long until = soon().nanoTime();
    while (!image.link().up() && until - System.nanoTime() > 0) {
      image = read();
    }
    assertTrue(image.link().up(), image.link().reason());
    return image;
  }

  static Reading reading(TankImage image, Point point) {
    Reading reading = image.points().get(point);
    assertNotEquals(null, reading, "every point is there");
    return reading;
  }

  static void assertComplete(TankImage image) {
    assertTrue(image.link().up(), image.link().reason());
    assertTrue(image.words().isPresent());
    assertEquals(EnumSet.allOf(Point.class), image.points().keySet());
    image.points().forEach((p, reading) -> assertTrue(reading.quality().good(), p.name()));
  }

  // Reading

  @Test
  void everyItemArrivesWithItsValueAndType() {
    rig.floor().showTotals(0, 2_000, 30);
    TankImage image = read();
    assertComplete(image);
    assertEquals(at, image.at());
    assertEquals(800, reading(image, Point.LEVEL).value());
    assertEquals(60.5, reading(image, Point.TEMPERATURE).value());
    assertEquals(48.625, reading(image, Point.CONDUCTIVITY).value());
    assertEquals(12.25, reading(image, Point.PH).value());
    assertEquals(2_000, reading(image, Point.WATER_TOTAL).value());
    assertEquals(30, reading(image, Point.LOADS_TOTAL).value());
    PlcWords words = image.words().orElseThrow();
    assertTrue(words.provesWiring(1));
    assertEquals(0x1FF, words.permitBits());
    assertEquals(5_000, words.limitConcentrateMl());
    assertEquals(70_000, words.limitWaterMl(), "above 16 bits");
    assertEquals(600, words.limitTimeS());
    assertEquals(0, words.orderTaken());
  }

  @Test
  void tanksComeBackInTheOrderAskedFor() {
    List<TankImage> images = reader.read(List.of(TWO, ONE), AT, soon());
    assertEquals(List.of(TWO, ONE), images.stream().map(TankImage::tank).toList());
    assertEquals(801, reading(images.get(0), Point.LEVEL).value());
    assertEquals(2, images.get(0).words().orElseThrow().tankNumber());
  }

  @Test
  void anImageTakesOneRequest() {
    readUntilUp();
    long before = rig.reads(0);
    read();
    assertEquals(1, rig.reads(0) - before, "so it is one consistent copy");
  }

  @Test
  void theHeartbeatMovesWithThePlc() {
    int first = readUntilUp().words().orElseThrow().plcHeartbeat();
    assertEquals(first + 3, threeSecondsLater().words().orElseThrow().plcHeartbeat());
  }

  TankImage threeSecondsLater() {
    rig.advance(Duration.ofSeconds(2));
    return read();
  }

  @Test
  void aHeartbeatThatStandsStillIsShownAsItIs() {
    int first = readUntilUp().words().orElseThrow().plcHeartbeat();
    rig.set(Trouble.FROZEN_HEARTBEAT);
    int frozen = read().words().orElseThrow().plcHeartbeat();
    assertTrue(frozen - first <= 1);
    assertEquals(frozen, threeSecondsLater().words().orElseThrow().plcHeartbeat());
  }

  @Test
  void aDeclaredFaultMakesItsPointBadAndNoOther() {
    rig.floor().showLevel(0, Double.NaN, 1);
    TankImage image = read();
    assertEquals(Quality.bad(Reason.FAULT_DECLARED), reading(image, Point.LEVEL).quality());
    assertTrue(Double.isNaN(reading(image, Point.LEVEL).value()));
    assertEquals(60.5, reading(image, Point.TEMPERATURE).orNaN());
    assertTrue(image.words().orElseThrow().shows(LineFault.LEVEL));
  }

  @Test
  void aFaultBitAloneIsEnough() {
    rig.floor().showLevel(0, 500, 1);
    assertEquals(Quality.bad(Reason.FAULT_DECLARED), reading(read(), Point.LEVEL).quality());
  }

  @Test
  void nanWithoutAFaultBitIsNoNumberEither() {
    openWith(rig.map(1).with(Item.FAULTS, Mapping.plain(new Place.Fixed(0))));
    rig.floor().showLevel(0, Double.NaN, 1);
    TankImage image = read();
    assertEquals(Quality.bad(Reason.NOT_A_NUMBER), reading(image, Point.LEVEL).quality());
    assertTrue(image.words().isPresent());
  }

  // Mapping

  @Test
  void aMissingPointCostsItselfOnly() {
    openWith(rig.map(1).with(Item.PH, Mapping.plain(rig.nowhere(Encoding.F32))));
    for (int i = 0; i < 3; i++) {
      TankImage image = readUntilUp();
      assertEquals(Quality.bad(Reason.ITEM_MISSING), reading(image, Point.PH).quality());
      assertEquals(800, reading(image, Point.LEVEL).orNaN());
      assertTrue(image.words().isPresent());
    }
  }

  @Test
  void aMissingWordCostsTheWordsButNoPoint() {
    openWith(rig.map(1).with(Item.ORDER_FINAL, Mapping.plain(rig.nowhere(Encoding.U32))));
    TankImage image = readUntilUp();
    assertTrue(image.words().isEmpty(), "no conclusion from half the words");
    assertEquals(800, reading(image, Point.LEVEL).orNaN());
  }

  @Test
  void aPointThatIsNotWiredSaysSo() {
    openWith(rig.map(1).with(Item.PH, Mapping.plain(new Place.NotWired())));
    TankImage image = readUntilUp();
    assertEquals(Quality.bad(Reason.NOT_WIRED), reading(image, Point.PH).quality());
    assertTrue(image.words().isPresent());
  }

  @Test
  void scaleOffsetAndRangeApply() {
    Place level = rig.as(Item.LEVEL_L, Encoding.F32);
    openWith(
        rig.map(1)
            .with(Item.LEVEL_L, new Mapping(level, Conversion.linear(0.5, -100).within(0, 1000)))
            .with(Item.PH, new Mapping(level, Conversion.NONE.within(0, 14)))
            .with(Item.LOADS_TOTAL, new Mapping(level, Conversion.NONE.withSentinel(800))));
    TankImage image = readUntilUp();
    assertEquals(300, reading(image, Point.LEVEL).orNaN(), "800 · 0.5 − 100");
    assertEquals(Quality.bad(Reason.OUT_OF_RANGE), reading(image, Point.PH).quality());
    assertEquals(Quality.bad(Reason.NOT_A_NUMBER), reading(image, Point.LOADS_TOTAL).quality());
  }

  /** The map of tank one with mA, ohm and mV made from its level of 800 L. */
  ItemMap withInputs(double perMa, double perOhm, double offsetMv) {
    Place level = rig.as(Item.LEVEL_L, Encoding.F32);
    Input electrode =
        new PhElectrodeInput(
            25,
            new PhElectrodeInput.Buffer(4.005, (7 - 4.005) * 59.1593),
            new PhElectrodeInput.Buffer(9.180, (7 - 9.180) * 59.1593));
    return rig.map(1)
        .with(
            Item.CONDUCTIVITY_MS_CM,
            new Mapping(level, Conversion.linear(perMa, 0).from(new CurrentInput(0, 100))))
        .with(
            Item.TEMPERATURE_C,
            new Mapping(level, Conversion.linear(perOhm, 0).from(new Pt100Input(0)).within(0, 100)))
        .with(Item.PH, new Mapping(level, Conversion.linear(1, offsetMv).from(electrode)));
  }

  /**
   * Sources: 12.8 mA are 55 % (IEC 60381-1); 123.24 ohm are 60 °C (table of IEC 60751); the buffers
   * of 25 °C and borax of 60 °C, pH 8.962 (NIST scale), at slopes of 59.1593 and 66.1041 mV per pH
   * (CODATA 2018).
   */
  @Test
  void currentResistanceAndVoltageBecomeValues() {
    openWith(withInputs(12.8 / 800, 123.24 / 800, (7 - 8.962) * 66.1041 - 800));
    TankImage image = readUntilUp();
    assertEquals(55, reading(image, Point.CONDUCTIVITY).orNaN(), 1e-6);
    assertEquals(60, reading(image, Point.TEMPERATURE).orNaN(), 0.0135);
    assertEquals(8.962, reading(image, Point.PH).orNaN(), 0.002);
  }

  /** Sources: NAMUR NE 43; IEC 60751 ends at 390.48 ohm; no slope without a temperature. */
  @Test
  void aFailureOfTheSignalIsAReasonAndNoNumber() {
    openWith(withInputs(3.5 / 800, 1, -800));
    TankImage image = readUntilUp();
    assertEquals(Quality.bad(Reason.FAILURE_LOW), reading(image, Point.CONDUCTIVITY).quality());
    assertEquals(Quality.bad(Reason.OPEN_CIRCUIT), reading(image, Point.TEMPERATURE).quality());
    assertEquals(Quality.bad(Reason.NO_TEMPERATURE), reading(image, Point.PH).quality());
    for (Point point : List.of(Point.CONDUCTIVITY, Point.TEMPERATURE, Point.PH)) {
      assertTrue(Double.isNaN(reading(image, point).value()), point.name());
    }
    assertEquals(800, reading(image, Point.LEVEL).orNaN(), "the others stay");
  }

  /** Source: NAMUR NE 43: from 20 to 20.5 mA saturated; 50 ohm are −125 °C, no bath (IEC 60751). */
  @Test
  void whatIsSaturatedIsUncertainAndTheRangeStillCounts() {
    openWith(withInputs(20.4 / 800, 50.0 / 800, -800));
    TankImage image = readUntilUp();
    Reading conductivity = reading(image, Point.CONDUCTIVITY);
    assertEquals(Quality.uncertain(Reason.SATURATED_HIGH), conductivity.quality());
    assertEquals(102.5, conductivity.value(), 1e-4);
    assertEquals(Quality.bad(Reason.OUT_OF_RANGE), reading(image, Point.TEMPERATURE).quality());
    assertEquals(Quality.bad(Reason.NO_TEMPERATURE), reading(image, Point.PH).quality());
  }

  @Test
  void theWordsOfAnotherTankProveNothing() {
    openWith(rig.map(2));
    PlcWords words = readUntilUp().words().orElseThrow();
    assertFalse(words.provesWiring(1));
    assertTrue(words.provesWiring(2));
  }

  @Test
  void aConstantOfTheWrongTypeProvesNothing() {
    openWith(rig.map(1).with(Item.CHECK_U32, Mapping.plain(rig.as(Item.CHECK_F32, Encoding.F32))));
    boolean proved = readUntilUp().words().map(words -> words.provesWiring(1)).orElse(false);
    assertFalse(proved);
  }

  @Test
  void permitsCanComeFromElsewhereOrBeConstants() {
    Place permits = rig.as(Item.PERMITS, Encoding.U16);
    Place faults = rig.as(Item.FAULTS, Encoding.U16);
    ItemMap map =
        rig.map(1)
            .with(Permit.REMOTE, new PermitPlace.BitOf(permits, 3, false))
            .with(Permit.DRAIN_CLOSED, new PermitPlace.BitOf(faults, 1, true))
            .with(Permit.OVERFLOW_CLEAR, new PermitPlace.BitOf(faults, 2, false))
            .with(Permit.NO_ONE_AT_TANK, new PermitPlace.Constant(true));
    assertEquals(Set.of(Permit.NO_ONE_AT_TANK), map.unwired());
    openWith(map);
    PlcWords words = readUntilUp().words().orElseThrow();
    assertTrue(words.permits(Permit.REMOTE));
    assertTrue(words.permits(Permit.DRAIN_CLOSED), "no fault, inverted");
    assertFalse(words.permits(Permit.OVERFLOW_CLEAR), "no fault, as it is");
    assertTrue(words.permits(Permit.NO_ONE_AT_TANK));
  }

  @Test
  void aPermitThatCannotBeReadCostsTheWords() {
    openWith(
        rig.map(1).with(Permit.REMOTE, new PermitPlace.BitOf(rig.nowhere(Encoding.U16), 0, false)));
    assertTrue(readUntilUp().words().isEmpty());
  }

  @Test
  void theCloseLookNamesEveryItem() {
    readUntilUp();
    ProbeReport report = rig.probe().probe(ONE, at, soon());
    assertTrue(report.wiringProved());
    assertEquals(27, report.items().size(), "items from the PLC in the contract");
    assertTrue(report.items().stream().allMatch(item -> item.reading().quality().good()));
    assertTrue(report.items().stream().noneMatch(item -> item.place().isBlank()));
    assertEquals(List.of(), report.advice());
    assertEquals(0, rig.writes());
  }

  @Test
  void theCloseLookSaysWhatIsWrong() {
    openWith(
        withNumber(rig.map(2), 1)
            .with(Item.PH, Mapping.plain(rig.nowhere(Encoding.F32)))
            .with(Permit.REMOTE, new PermitPlace.Constant(true)));
    ProbeReport report = rig.probe().probe(ONE, at, soon());
    assertFalse(report.wiringProved());
    assertEquals(Set.of(Permit.REMOTE), report.unwired());
    assertEquals(
        List.of(
            "tank_number reads 2, must be 1", "permit remote is not wired: a constant stands in"),
        report.advice());
    Probed ph =
        report.items().stream()
            .filter(item -> item.slot().equals(Slot.of(Item.PH)))
            .findFirst()
            .orElseThrow();
    assertEquals(Reason.ITEM_MISSING, ph.reading().quality().reason());
    assertTrue(ph.raw() instanceof Raw.Nothing nothing && !nothing.detail().isBlank());
  }

  static ItemMap withNumber(ItemMap map, int tankNumber) {
    return new ItemMap(tankNumber, map.items(), map.permits());
  }
}
