package org.bathwarden.line.modbus;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Stream;
import org.bathwarden.line.Await;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.Place.Table;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.WriteResult;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Frames of a serial line against units on a plain socket, well behaved and not. Source of frames
 * and silences: MODBUS over Serial Line V1.02, section 2.5.1, and reference/modbus-frames.csv.
 */
class RtuLineTest {

  private static final TankId ONE = new TankId("one");
  private static final TankId TWO = new TankId("two");
  private static final Instant AT = Instant.parse("2026-05-04T06:00:00Z");
  private static final Duration TIMEOUT = Duration.ofMillis(300);
  private static final ReferenceTable FRAMES = ReferenceTable.load("modbus-frames.csv");

  private final RawRtuSlave slave = new RawRtuSlave();
  private ModbusLine line = line(Optional.empty());

  @AfterEach
  void close() {
    line.close();
    slave.close();
  }

  /** Two tanks, each a unit of its own. */
  private ModbusLine line(Optional<Integer> baud) {
    ModbusSettings settings =
        new ModbusSettings(
            new ModbusRoute.RtuOverTcp("127.0.0.1", slave.port(), baud),
            Duration.ofSeconds(2),
            TIMEOUT,
            Duration.ZERO,
            new Backoff(Duration.ofNanos(1), Duration.ofNanos(1)),
            Map.of(ONE, ItemMap.modbusAt(1, 1, 0), TWO, ItemMap.modbusAt(2, 2, 0)));
    assertEquals(List.of(), settings.problems());
    return new ModbusLine(settings, System::nanoTime, () -> 0.5);
  }

  private static Deadline within(Duration duration) {
    return new Deadline(System.nanoTime() + duration.toNanos());
  }

  private TankImage read() {
    return line.read(List.of(ONE), AT, within(Duration.ofSeconds(5))).get(0);
  }

  private static byte[] bytes(String function, String column) {
    return HexFormat.ofDelimiter(" ")
        .parseHex(FRAMES.where("function", function).get(0).text(column));
  }

  private ModbusSession session() {
    try {
      return ModbusSession.open(
          new ModbusRoute.RtuOverTcp("127.0.0.1", slave.port(), Optional.empty()),
          Duration.ofSeconds(10),
          System::nanoTime,
          () -> 0);
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  private static long soon() {
    return System.nanoTime() + Duration.ofSeconds(10).toNanos();
  }

  private void answers(String function) {
    slave.script(request -> new byte[][] {bytes(function, "response_rtu_unit17")});
  }

  @Test
  void whatIsReadGoesByThePublishedFrames() throws Exception {
    ModbusSession session = session();
    answers("03");
    assertArrayEquals(
        new int[] {0x022B, 0, 0x64}, session.read(Table.HOLDING, 0x11, 0x6B, 3, soon()));
    answers("04");
    assertArrayEquals(new int[] {0x0A}, session.read(Table.INPUT, 0x11, 8, 1, soon()));
    session.close();
    assertArrayEquals(bytes("03", "request_rtu_unit17"), slave.requests.get(0));
    assertArrayEquals(bytes("04", "request_rtu_unit17"), slave.requests.get(1));
  }

  @Test
  void whatIsWrittenGoesByThePublishedFrames() throws Exception {
    ModbusSession session = session();
    answers("16 (10)");
    session.write(0x11, 1, new int[] {0x000A, 0x0102}, soon());
    session.close();
    assertArrayEquals(bytes("16 (10)", "request_rtu_unit17"), slave.requests.get(0));
  }

  @Test
  void anExceptionIsAnAnswer() {
    ModbusSession session = session();
    slave.script(request -> new byte[][] {RawRtuSlave.sealed((byte) 0x11, (byte) 0x83, (byte) 2)});
    ModbusFault fault =
        assertThrows(ModbusFault.class, () -> session.read(Table.HOLDING, 0x11, 0x6B, 3, soon()));
    session.close();
    assertEquals("exception 2: illegal data address", fault.why());
    assertEquals(ModbusFault.Kind.REFUSED, fault.kind());
  }

  private static byte[] changed(byte[] frame, int at, int by) {
    byte[] copy = frame.clone();
    copy[at] ^= (byte) by;
    return copy;
  }

  private static byte[] resealed(byte[] frame, int at, int value) {
    byte[] body = Arrays.copyOf(frame, frame.length - 2);
    body[at] = (byte) value;
    return RawRtuSlave.sealed(body);
  }

  static Stream<Arguments> wrongReplies() {
    return Stream.of(
        wrong("a value changed on the way", "CRC", r -> changed(right(r), 20, 4)),
        wrong("CRC high byte first", "CRC", r -> swapped(right(r))),
        wrong("another unit", "another unit id, 9", r -> resealed(right(r), 0, 9)),
        wrong("another function", "function", r -> resealed(right(r), 1, 3)),
        wrong("another length", "length", r -> resealed(right(r), 2, 86)),
        wrong("exception to another function", "function", r -> exception(r, 0x83)),
        wrong("exception with a wrong CRC", "CRC", r -> changed(exception(r, 0x84), 4, 1)),
        wrong("half a reply", "in time|timed out", r -> Arrays.copyOf(right(r), 40)),
        wrong("nothing", "in time|timed out", r -> new byte[0]),
        wrong("the request itself", "echo", r -> r));
  }

  private static byte[] right(byte[] request) {
    return RawRtuSlave.ofZeros(request);
  }

  private static byte[] exception(byte[] request, int function) {
    return RawRtuSlave.sealed(request[0], (byte) function, (byte) 2);
  }

  private static byte[] swapped(byte[] frame) {
    byte[] copy = frame.clone();
    copy[frame.length - 2] = frame[frame.length - 1];
    copy[frame.length - 1] = frame[frame.length - 2];
    return copy;
  }

  private static Arguments wrong(String name, String said, Function<byte[], byte[]> reply) {
    return Arguments.of(name, said, reply);
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("wrongReplies")
  void aWrongReplyIsNoImageAndItsUnitIsAskedAgainLater(
      String name, String said, Function<byte[], byte[]> reply) {
    slave.script(request -> new byte[][] {reply.apply(request)});
    TankImage image = read();
    assertFalse(image.link().up(), name);
    assertTrue(
        Arrays.stream(said.split("\\|")).anyMatch(image.link().reason()::contains),
        image.link().reason());
    assertTrue(image.link().reason().contains("unit 1"), image.link().reason());
    assertFalse(read().link().up(), "its late reply must have time to pass");
    assertEquals(1, slave.requests.size(), name);
    slave.script(request -> new byte[][] {right(request)});
    Await.until(() -> read().link().up());
    assertEquals(2, slave.requests.size(), name);
    long between = slave.arrivals.get(1) - slave.arrivals.get(0);
    assertTrue(between >= TIMEOUT.toNanos(), between + " ns");
  }

  @Test
  void aReplyInPiecesIsPutTogether() {
    slave.script(
        request -> {
          byte[] reply = right(request);
          byte[][] pieces = new byte[reply.length][];
          for (int i = 0; i < reply.length; i++) {
            pieces[i] = new byte[] {reply[i]};
          }
          return pieces;
        });
    assertTrue(read().link().up());
  }

  /** A device server may pass on what a unit said long after, to whoever is connected then. */
  @Test
  void aLateReplyBeforeTheNextRequestIsNotItsAnswer() {
    assertTrue(read().link().up());
    slave.send(right(slave.requests.get(0)));
    slave.script(request -> new byte[0][]);
    Await.until(
        () -> {
          TankImage image = read();
          return !image.link().up() && image.link().reason().contains("nobody asked for");
        });
    slave.script(request -> new byte[][] {right(request)});
    Await.until(() -> read().link().up());
  }

  @Test
  void noiseBetweenFramesIsThrownAway() {
    assertTrue(read().link().up());
    slave.send(new byte[] {0, (byte) 0xFF});
    assertTrue(read().link().up());
  }

  @Test
  void aSilentUnitCostsTheOthersNothing() {
    slave.script(request -> request[0] == 1 ? new byte[0][] : new byte[][] {right(request)});
    for (int i = 0; i < 5; i++) {
      List<TankImage> images = line.read(List.of(ONE, TWO), AT, within(TIMEOUT.multipliedBy(2)));
      assertEquals(List.of(ONE, TWO), images.stream().map(TankImage::tank).toList());
      assertFalse(images.get(0).link().up());
      assertTrue(images.get(1).link().up(), images.get(1).link().reason());
    }
  }

  @Test
  void aWriteIsSentOnceAndNothingIsWrittenToASilentUnit() {
    assertTrue(read().link().up());
    slave.script(request -> new byte[0][]);
    LineWrite.Beat beat = new LineWrite.Beat(ONE, 5, 17);
    var writer = ModbusWriters.writer(line, ONE);
    assertEquals(WriteResult.UNKNOWN, writer.write(beat, within(Duration.ofSeconds(5))));
    assertEquals(WriteResult.NOT_SENT, writer.write(beat, within(Duration.ofSeconds(5))));
    assertEquals(2, slave.requests.size(), "one read, one write");
  }

  @Test
  void theSilenceOfASlowLineIsKeptBetweenFrames() {
    line.close();
    line = line(Optional.of(1200));
    assertTrue(read().link().up());
    assertTrue(read().link().up());
    // 3.5 characters of 11 bits at 1200 baud.
    long between = slave.arrivals.get(1) - slave.arrivals.get(0);
    assertTrue(between >= 32_000_000, between + " ns");
  }

  /** Up to 19200 baud 3.5 characters, above it 1.75 ms: section 2.5.1.1. */
  @ParameterizedTest
  @CsvSource({
    "9600, 11, 4010417",
    "19200, 11, 2005208",
    "19200, 10, 1822917",
    "38400, 11, 1750000"
  })
  void theSilenceBetweenFrames(int baud, int bits, long nanos) {
    assertEquals(nanos, new ModbusRoute.Character(baud, bits).silence().toNanos());
  }

  @ParameterizedTest
  @CsvSource({"EVEN, 1, 11", "NONE, 1, 10", "NONE, 2, 11", "ODD, 2, 12"})
  void theBitsOfACharacter(ModbusRoute.Parity parity, int stopBits, int bits) {
    assertEquals(
        bits,
        new ModbusRoute.Serial("COM1", 9600, parity, stopBits).character().orElseThrow().bits());
  }

  /**
   * Image: 8 + 5 + 88 characters; heartbeat: 15 + 8; order: 29 + 8, 8 + 25, 13 + 8. Counted by hand
   * from the frames of the specification, silences of 3.5 characters before each.
   */
  @Test
  void theLoadOfAScanIsItsCharactersAndSilences() {
    ModbusSettings settings =
        new ModbusSettings(
            new ModbusRoute.Serial("COM1", 9600, ModbusRoute.Parity.EVEN, 1),
            Duration.ofSeconds(1),
            TIMEOUT,
            Duration.ZERO,
            new Backoff(Duration.ofNanos(1), Duration.ofNanos(1)),
            Map.of(ONE, ItemMap.modbusAt(1, 1, 0), TWO, ItemMap.modbusAt(1, 2, 0)));
    BusLoad load = BusLoad.of(settings, settings.route().character().orElseThrow());
    double characterMs = 11_000.0 / 9600;
    assertEquals(2 * (101 + 7) * characterMs, load.reads().toNanos() / 1e6, 0.01);
    assertEquals(2 * (23 + 7) * characterMs, load.beats().toNanos() / 1e6, 0.01);
    assertEquals((37 + 33 + 21 + 21) * characterMs, load.order().toNanos() / 1e6, 0.01);
    assertEquals(108 * characterMs, load.longest().toNanos() / 1e6, 0.01);
  }
}
