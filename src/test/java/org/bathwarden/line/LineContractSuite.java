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
import org.bathwarden.line.LineWrite.Abandon;
import org.bathwarden.line.LineWrite.Beat;
import org.bathwarden.line.LineWrite.ClaimEpoch;
import org.bathwarden.line.LineWrite.Submit;
import org.bathwarden.signal.CurrentInput;
import org.bathwarden.signal.Input;
import org.bathwarden.signal.PhElectrodeInput;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Pt100Input;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.signal.Reading;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * What every adapter of the line must do, whatever the protocol. Run on fake, Modbus and OPC UA.
 */
public abstract class LineContractSuite {

  private static final TankId ONE = new TankId("one");
  private static final TankId TWO = new TankId("two");
  private static final Instant AT = Instant.parse("2026-05-04T06:00:00Z");
  private static final Duration SECOND = Duration.ofSeconds(1);
  private static final long EPOCH = 17;

  private final LineRig rig = rig();
  private Instant at = AT;
  private LineReader reader = rig.open(Map.of(ONE, rig.map(1), TWO, rig.map(2)));

  /** A fresh PLC with two tanks. */
  protected abstract LineRig rig();

  @AfterEach
  void close() {
    reader.close();
    rig.close();
  }

  private void openWith(ItemMap one) {
    reader.close();
    reader = rig.open(Map.of(ONE, one, TWO, rig.map(2)));
  }

  private static Deadline within(Duration duration) {
    return new Deadline(System.nanoTime() + duration.toNanos());
  }

  private static Deadline soon() {
    return within(Duration.ofSeconds(20));
  }

  /** Runs the PLC on by a second and reads tank one. */
  private TankImage read() {
    rig.advance(SECOND);
    at = at.plus(SECOND);
    return reader.read(List.of(ONE), at, soon()).get(0);
  }

  /** Reads until the link is up again; each attempt is bounded by its own deadline. */
  private TankImage readUntilUp() {
    TankImage image = read();
    long until = soon().nanoTime();
    while (!image.link().up() && until - System.nanoTime() > 0) {
      image = read();
    }
    assertTrue(image.link().up(), image.link().reason());
    return image;
  }

  private static Reading reading(TankImage image, Point point) {
    Reading reading = image.points().get(point);
    assertNotEquals(null, reading, "every point is there");
    return reading;
  }

  private static void assertComplete(TankImage image) {
    assertTrue(image.link().up(), image.link().reason());
    assertTrue(image.words().isPresent());
    assertEquals(EnumSet.allOf(Point.class), image.points().keySet());
    image.points().forEach((p, reading) -> assertTrue(reading.quality().good(), p.name()));
  }

  private static void assertNothing(TankImage image) {
    assertEquals(EnumSet.allOf(Point.class), image.points().keySet());
    assertTrue(image.words().isEmpty());
    image
        .points()
        .forEach(
            (point, reading) -> {
              assertFalse(reading.quality().good(), point.name());
              assertTrue(Double.isNaN(reading.value()), point.name());
            });
  }

  private static void assertDown(TankImage image) {
    assertFalse(image.link().up());
    assertFalse(image.link().reason().isBlank());
    assertNothing(image);
    image
        .points()
        .values()
        .forEach(reading -> assertEquals(Quality.bad(Reason.NO_LINK), reading.quality()));
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

  private TankImage threeSecondsLater() {
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
  private ItemMap withInputs(double perMa, double perOhm, double offsetMv) {
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

  private static ItemMap withNumber(ItemMap map, int tankNumber) {
    return new ItemMap(tankNumber, map.items(), map.permits());
  }

  // Loss and recovery

  @Test
  void aTankThatIsNotOnTheLineIsDown() {
    TankId stranger = new TankId("stranger");
    List<TankImage> images = reader.read(List.of(stranger, ONE), AT, soon());
    assertDown(images.get(0));
    assertComplete(images.get(1));
  }

  @Test
  void aCutLinkIsDownSinceTheFirstFailure() {
    Instant since = readUntilUp().link().since();
    assertEquals(since, read().link().since());
    rig.set(Trouble.LINK_CUT);
    TankImage first = read();
    assertDown(first);
    assertEquals(at, first.link().since());
    TankImage second = read();
    assertDown(second);
    assertEquals(first.link().since(), second.link().since());
    rig.clear(Trouble.LINK_CUT);
    TankImage back = readUntilUp();
    assertComplete(back);
    assertEquals(at, back.link().since());
  }

  @Test
  void theImageIsCompleteAfterEachOfFiftyReconnections() {
    readUntilUp();
    for (int i = 0; i < 50; i++) {
      rig.set(Trouble.LINK_CUT);
      assertDown(read());
      rig.clear(Trouble.LINK_CUT);
      assertComplete(readUntilUp());
    }
  }

  @ParameterizedTest
  @EnumSource(names = {"GARBAGE", "TRUNCATED", "LATE", "SILENT", "REPLY_LOST"})
  void badRepliesAreNoImageAndItRecovers(Trouble trouble) {
    readUntilUp();
    rig.set(trouble);
    at = at.plus(SECOND);
    assertDown(
        reader.read(List.of(ONE), at, within(LineRig.REQUEST_TIMEOUT.multipliedBy(2))).get(0));
    rig.clear(trouble);
    rig.floor().showLevel(0, 432, 0);
    TankImage image = readUntilUp();
    assertComplete(image);
    assertEquals(432, reading(image, Point.LEVEL).value(), "the newest, not a late one");
  }

  @Test
  void aDeviceThatSaysItHasFailedGivesNoNumber() {
    readUntilUp();
    rig.set(Trouble.DEVICE_FAILURE);
    assertNothing(read());
    rig.clear(Trouble.DEVICE_FAILURE);
    assertComplete(readUntilUp());
  }

  @Test
  void aSilentPeerCostsOneTimeoutForAllTanks() {
    readUntilUp();
    reader.read(List.of(ONE, TWO), AT, soon());
    rig.set(Trouble.SILENT);
    long start = System.nanoTime();
    List<TankImage> images =
        reader.read(List.of(ONE, TWO, ONE, TWO, ONE, TWO, ONE, TWO), AT, soon());
    Duration took = Duration.ofNanos(System.nanoTime() - start);
    images.forEach(LineContractSuite::assertDown);
    assertTrue(took.compareTo(LineRig.REQUEST_TIMEOUT.multipliedBy(4)) < 0, took.toString());
  }

  @Test
  void theDeadlineOfTheCallHolds() {
    readUntilUp();
    rig.set(Trouble.SILENT);
    for (int i = 0; i < 3; i++) {
      long start = System.nanoTime();
      assertDown(reader.read(List.of(ONE), AT, within(Duration.ofMillis(200))).get(0));
      Duration took = Duration.ofNanos(System.nanoTime() - start);
      assertTrue(took.compareTo(Duration.ofMillis(2000)) < 0, took.toString());
    }
  }

  @Test
  void aDeadlineThatHasPassedAsksNothing() {
    readUntilUp();
    long before = rig.reads(0);
    assertDown(reader.read(List.of(ONE), AT, new Deadline(System.nanoTime() - 1)).get(0));
    assertEquals(before, rig.reads(0));
    assertComplete(readUntilUp());
  }

  // Writing

  private WriteResult write(LineWrite what) {
    return rig.writer(ONE).write(what, soon());
  }

  /** Becomes holder with a fresh heartbeat, and returns the newest image. */
  private TankImage takeCommand() {
    readUntilUp();
    assertEquals(WriteResult.DONE, write(new ClaimEpoch(ONE, EPOCH)));
    read();
    assertEquals(WriteResult.DONE, write(new Beat(ONE, 1, EPOCH)));
    return read();
  }

  private Submit order(TankImage image, long number) {
    int basis = image.words().orElseThrow().plcHeartbeat();
    return new Submit(ONE, 1, new OrderBlock(Product.CONCENTRATE, 300, 60, number, EPOCH, basis));
  }

  @Test
  void readingAndLookingCloselyWriteNothing() {
    for (int i = 0; i < 5; i++) {
      reader.read(List.of(ONE, TWO), AT, soon());
      rig.probe().probe(TWO, AT, soon());
    }
    assertTrue(rig.reads(0) > 0);
    assertEquals(0, rig.writes());
  }

  @Test
  void nothingIsWrittenBeforeTheLineHasAnswered() {
    assertEquals(WriteResult.NOT_SENT, write(new Beat(ONE, 1, EPOCH)));
    assertEquals(0, rig.writes());
  }

  @Test
  void aWriterWritesItsOwnTankOnly() {
    readUntilUp();
    assertEquals(WriteResult.NOT_SENT, write(new Beat(TWO, 1, EPOCH)));
    assertEquals(
        WriteResult.NOT_SENT,
        rig.stopper(ONE).stop(new Beat(TWO, 1, EPOCH), new Abandon(TWO, 1), soon()));
    assertEquals(0, rig.writes());
  }

  @Test
  void claimAndHeartbeatArriveTogetherWithTheirEpoch() {
    PlcWords words = takeCommand().words().orElseThrow();
    assertEquals(EPOCH, words.holderEpoch());
    assertEquals(1, words.heartbeatSeen());
    assertEquals(4, rig.writes(), "three for the claim, one for the heartbeat");
  }

  @Test
  void anOrderIsTakenUpAndCounted() {
    TankImage image = takeCommand();
    long before = rig.writes();
    assertEquals(WriteResult.DONE, write(order(image, 17)));
    assertEquals(2, rig.writes() - before, "the block in one write, the commit in another");
    PlcWords running = read().words().orElseThrow();
    assertEquals(17, running.orderTaken());
    assertEquals(PlcWords.RUNNING, running.orderState());
    rig.advance(Duration.ofSeconds(3));
    rig.advance(Duration.ofSeconds(3));
    PlcWords done = read().words().orElseThrow();
    assertEquals(17, done.orderFinal());
    assertTrue(done.orderDeliveredMl() > 0);
  }

  @Test
  void anAbandonStopsTheRunningOrder() {
    TankImage image = takeCommand();
    assertEquals(WriteResult.DONE, write(order(image, 17)));
    read();
    assertEquals(WriteResult.DONE, write(new Abandon(ONE, 17)));
    PlcWords words = read().words().orElseThrow();
    assertEquals(17, words.abandonedTo());
    assertEquals(PlcWords.STOPPED, words.orderState());
    assertEquals(ReasonCode.ABANDONED, ReasonCode.of(words.orderReason()));
  }

  @Test
  void aStopperAbandonsAndKeepsTheHeartbeatGoing() {
    TankImage image = takeCommand();
    assertEquals(WriteResult.DONE, write(order(image, 17)));
    read();
    assertEquals(
        WriteResult.DONE,
        rig.stopper(ONE).stop(new Beat(ONE, 2, EPOCH), new Abandon(ONE, 17), soon()));
    PlcWords words = read().words().orElseThrow();
    assertEquals(17, words.abandonedTo());
    assertEquals(2, words.heartbeatSeen());
  }

  @Test
  void aLostReplyToTheBlockIsUnknownAndNothingIsCommitted() {
    TankImage image = takeCommand();
    long before = rig.writes();
    rig.next(Trouble.REPLY_LOST);
    assertEquals(WriteResult.UNKNOWN, write(order(image, 17)));
    assertEquals(1, rig.writes() - before, "never repeated, never committed");
    PlcWords words = readUntilUp().words().orElseThrow();
    assertEquals(0, words.orderTaken());
    assertEquals(0, words.refusedNumber());
  }

  @Test
  void aLostReplyToAHeartbeatIsUnknownAndOnceOnly() {
    takeCommand();
    long before = rig.writes();
    rig.next(Trouble.REPLY_LOST);
    assertEquals(WriteResult.UNKNOWN, write(new Beat(ONE, 2, EPOCH)));
    assertEquals(2, readUntilUp().words().orElseThrow().heartbeatSeen(), "it had arrived");
    assertEquals(1, rig.writes() - before, "never repeated");
  }

  @Test
  void afterADoubtfulWriteNothingIsWrittenUntilTheLineHasAnswered() {
    takeCommand();
    rig.next(Trouble.REPLY_LOST);
    assertEquals(WriteResult.UNKNOWN, write(new Beat(ONE, 2, EPOCH)));
    long before = rig.writes();
    assertEquals(WriteResult.NOT_SENT, write(new Beat(ONE, 3, EPOCH)));
    assertEquals(before, rig.writes());
    readUntilUp();
    assertEquals(WriteResult.DONE, write(new Beat(ONE, 4, EPOCH)));
  }

  @Test
  void aBlockThatReadsBackOtherwiseIsNotCommitted() {
    TankImage image = takeCommand();
    long before = rig.writes();
    rig.set(Trouble.ACK_IGNORED);
    assertEquals(WriteResult.READ_BACK_DIFFERS, write(order(image, 17)));
    assertEquals(1, rig.writes() - before);
    rig.clear(Trouble.ACK_IGNORED);
    assertEquals(0, read().words().orElseThrow().orderTaken());
  }

  @Test
  void aRefusedWriteIsNotDone() {
    TankImage image = takeCommand();
    rig.set(Trouble.DEVICE_FAILURE);
    assertEquals(WriteResult.UNKNOWN, write(order(image, 17)));
    rig.clear(Trouble.DEVICE_FAILURE);
    assertEquals(0, readUntilUp().words().orElseThrow().orderTaken());
  }

  @Test
  void aWriteKeepsItsDeadline() {
    takeCommand();
    rig.set(Trouble.SILENT);
    long start = System.nanoTime();
    assertEquals(
        WriteResult.UNKNOWN,
        rig.writer(ONE).write(new Beat(ONE, 2, EPOCH), within(Duration.ofMillis(200))));
    Duration took = Duration.ofNanos(System.nanoTime() - start);
    assertTrue(took.compareTo(Duration.ofMillis(2000)) < 0, took.toString());
  }

  @Test
  void aWriteWhoseTimeIsOverIsNotSent() {
    takeCommand();
    long before = rig.writes();
    assertEquals(
        WriteResult.NOT_SENT,
        rig.writer(ONE).write(new Beat(ONE, 2, EPOCH), new Deadline(System.nanoTime() - 1)));
    assertEquals(before, rig.writes());
  }

  @Test
  void aNumberThatDoesNotFitItsItemIsNotSent() {
    TankImage image = takeCommand();
    long before = rig.writes();
    int basis = image.words().orElseThrow().plcHeartbeat();
    OrderBlock tooLong = new OrderBlock(Product.CONCENTRATE, 300, 65_536, 17, EPOCH, basis);
    assertEquals(WriteResult.NOT_SENT, write(new Submit(ONE, 1, tooLong)));
    OrderBlock tooMuch = new OrderBlock(Product.CONCENTRATE, 0x1_0000_0000L, 60, 17, EPOCH, basis);
    assertEquals(WriteResult.NOT_SENT, write(new Submit(ONE, 1, tooMuch)));
    assertEquals(WriteResult.NOT_SENT, write(new Abandon(ONE, -1)));
    assertEquals(before, rig.writes());
  }

  @Test
  void aWriteToAPlaceThatIsNotThereIsNotDone() {
    openWith(rig.map(1).with(Item.ORDER_VOLUME_ML, Mapping.plain(rig.nowhere(Encoding.U32))));
    TankImage image = takeCommand();
    assertNotEquals(WriteResult.DONE, write(order(image, 17)));
    assertEquals(0, readUntilUp().words().orElseThrow().orderTaken());
  }

  @Test
  void overACutLinkNothingIsDone() {
    takeCommand();
    long before = rig.writes();
    rig.set(Trouble.LINK_CUT);
    assertNotEquals(WriteResult.DONE, write(new Beat(ONE, 2, EPOCH)));
    assertEquals(WriteResult.NOT_SENT, write(new Beat(ONE, 3, EPOCH)));
    rig.clear(Trouble.LINK_CUT);
    assertEquals(1, readUntilUp().words().orElseThrow().heartbeatSeen());
    assertEquals(before, rig.writes(), "nothing queued, nothing delivered later");
  }
}
