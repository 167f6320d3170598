package org.bathwarden.line.modbus;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.ghgande.j2mod.modbus.ModbusException;
import com.ghgande.j2mod.modbus.facade.ModbusTCPMaster;
import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicReference;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.bathwarden.line.Await;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.ProbeReport;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.modbus.RawModbusSlave.Request;
import org.bathwarden.reference.ReferenceTable;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** The Modbus adapter against a slave on plain sockets that misbehaves. */
class ModbusLineTest {

  private static final TankId ONE = new TankId("one");
  private static final TankId TWO = new TankId("two");
  private static final TankId THREE = new TankId("three");
  private static final Instant AT = Instant.parse("2026-05-04T06:00:00Z");
  private static final Duration TIMEOUT = Duration.ofMillis(300);
  private static final int HEARTBEAT = 14;

  private final RawModbusSlave slave = new RawModbusSlave();
  private final ModbusLine line = line(settings(TIMEOUT, Duration.ZERO));

  /** The first exchange loads classes and starts threads; the timed ones come after it. */
  @BeforeEach
  void warmUp() {
    assertTrue(
        ModbusLineTest.line(settings(Duration.ofSeconds(5), Duration.ZERO))
            .read(List.of(ONE), AT, within(Duration.ofSeconds(5)))
            .get(0)
            .link()
            .up());
    slave.cut();
    slave.requests.clear();
  }

  private void arrived(int requests) {
    Await.until(() -> slave.requests.size() >= requests);
    assertEquals(requests, slave.requests.size(), "each is sent once");
  }

  @AfterEach
  void close() {
    line.close();
    slave.close();
  }

  private ModbusSettings settings(Duration timeout, Duration gap) {
    return new ModbusSettings(
        new ModbusRoute.Tcp("127.0.0.1", slave.port()),
        Duration.ofSeconds(2),
        timeout,
        gap,
        new Backoff(Duration.ofNanos(1), Duration.ofNanos(1)),
        Map.of(
            ONE, ItemMap.modbusDefault(1),
            TWO, ItemMap.modbusDefault(2),
            THREE, ItemMap.modbusDefault(3)));
  }

  private static ModbusLine line(ModbusSettings settings) {
    assertEquals(List.of(), settings.problems());
    return new ModbusLine(settings, System::nanoTime, () -> 0.5);
  }

  private static Deadline within(Duration duration) {
    return new Deadline(System.nanoTime() + duration.toNanos());
  }

  private TankImage read() {
    return line.read(List.of(ONE), AT, within(Duration.ofSeconds(5))).get(0);
  }

  @Test
  void oneRequestBringsTheWholeImage() {
    assertTrue(read().link().up());
    assertEquals(1, slave.requests.size());
    Request request = slave.requests.get(0);
    assertEquals(
        List.of(4, 1, 0, 44),
        List.of(request.function, request.unit, request.address, request.count));
  }

  /** A slave that holds back every odd reply until the next request, that is past its timeout. */
  private void answerLate(boolean onTheNewConnection) {
    AtomicReference<byte[]> held = new AtomicReference<>(new byte[0]);
    AtomicReference<RawModbusSlave.Connection> heldFor = new AtomicReference<>();
    slave.script(
        (request, connection) -> {
          int number = slave.requests.size();
          slave.input[HEARTBEAT] = number;
          byte[] reply = slave.answer(request);
          if (number % 2 == 1) {
            held.set(reply);
            heldFor.set(connection);
          } else {
            sendLate(onTheNewConnection ? connection : heldFor.get(), held.get());
            connection.send(reply);
          }
        });
  }

  private static void sendLate(RawModbusSlave.Connection to, byte[] reply) {
    try {
      to.send(reply);
    } catch (IOException e) {
      assertTrue(true, "the client has closed that connection, as it should");
    }
  }

  @Test
  void noValueOfALateReplyIsAcceptedIn12Of12Reads() {
    answerLate(false);
    for (int i = 1; i <= 12; i++) {
      TankImage image = read();
      arrived(i);
      assertEquals(i % 2 == 0, image.link().up(), "read " + i);
      assertEquals(i % 2 == 0 ? i : -1, image.words().map(w -> w.plcHeartbeat()).orElse(-1));
    }
  }

  @Test
  void noValueOfALateReplyOnTheNewConnectionIsAcceptedEither() {
    answerLate(true);
    for (int i = 1; i <= 12; i++) {
      TankImage image = read();
      arrived(i);
      assertFalse(image.link().up(), "read " + i);
      assertEquals(Reason.NO_LINK, image.points().get(Point.LEVEL).quality().reason());
    }
  }

  @Test
  void theLibrarysOwnTransactionTakesLateRepliesForTheNextOnes() throws Exception {
    // Control: shows that the check above can fail.
    AtomicReference<byte[]> held = new AtomicReference<>(new byte[0]);
    slave.script(
        (request, connection) -> {
          slave.input[HEARTBEAT] = slave.requests.size();
          byte[] reply = slave.answer(request);
          connection.send(held.getAndSet(reply));
        });
    ModbusTCPMaster master = new ModbusTCPMaster("127.0.0.1", slave.port(), 150, false);
    master.connect();
    master.setRetries(1);
    int wrong = 0;
    for (int i = 0; i < 4; i++) {
      try {
        int heartbeat = master.readInputRegisters(1, HEARTBEAT, 1)[0].toUnsignedShort();
        wrong += heartbeat == slave.requests.size() ? 0 : 1;
      } catch (ModbusException e) {
        assertNotEquals("", e.getMessage());
      }
    }
    master.disconnect();
    assertTrue(wrong > 0, "the slave must provoke the fault");
  }

  @Test
  void aSlaveThatAcceptsAndNeverAnswersCostsOneTimeoutForAllItsTanks() {
    slave.script((request, connection) -> {});
    long start = System.nanoTime();
    List<TankImage> images = line.read(List.of(ONE, TWO, THREE), AT, within(Duration.ofSeconds(5)));
    long tookMs = (System.nanoTime() - start) / 1_000_000;
    arrived(1); // the rest of the device waits for the next round
    assertTrue(images.stream().noneMatch(image -> image.link().up()));
    assertTrue(tookMs >= 250 && tookMs < 1500, tookMs + " ms");
  }

  @Test
  void theDeadlineOfTheCallHoldsEvenIfTheRequestMayTakeLonger() {
    ModbusLine patient = line(settings(Duration.ofSeconds(30), Duration.ZERO));
    slave.script((request, connection) -> {});
    long start = System.nanoTime();
    patient.read(List.of(ONE), AT, within(Duration.ofMillis(200)));
    long tookMs = (System.nanoTime() - start) / 1_000_000;
    patient.close();
    assertTrue(tookMs < 1500, tookMs + " ms");
  }

  @Test
  void aSlaveThatDripsBytesCannotHoldTheScan() {
    slave.script(
        (request, connection) -> {
          for (byte octet : slave.answer(request)) {
            connection.send(new byte[] {octet});
            pause(TIMEOUT.dividedBy(3));
          }
        });
    long start = System.nanoTime();
    TankImage image = read();
    long tookMs = (System.nanoTime() - start) / 1_000_000;
    assertFalse(image.link().up());
    assertTrue(tookMs < 1500, tookMs + " ms");
  }

  /** A slow device: the slave's own pace, not a wait of the test. */
  private static void pause(Duration duration) {
    long until = System.nanoTime() + duration.toNanos();
    while (until - System.nanoTime() > 0) {
      LockSupport.parkNanos(until - System.nanoTime());
    }
  }

  private static byte[] image(Request request, int words) {
    byte[] pdu = new byte[2 + 2 * words];
    pdu[0] = 4;
    pdu[1] = (byte) (2 * words);
    return request.reply(pdu);
  }

  static Stream<Arguments> wrongReplies() {
    return Stream.of(
        wrong("garbage", r -> "HTTP/1.1 400 Bad Request\r\n\r\n".getBytes(UTF_8)),
        wrong("all ones", r -> ones(300)),
        wrong("truncated frame", r -> Arrays.copyOf(image(r, 44), 60)),
        wrong("a word too few", r -> image(r, 43)),
        wrong("a word too many", r -> image(r, 45)),
        wrong("byte count beyond the frame", RawReplies::byteCountBeyondFrame),
        wrong("odd byte count", RawReplies::oddByteCount),
        wrong("another transaction", r -> Request.reply(r.transaction + 1, 0, r.unit, pdu(r))),
        wrong("transaction 0", r -> Request.reply(0, 0, r.unit, pdu(r))),
        wrong("another protocol", r -> Request.reply(r.transaction, 7, r.unit, pdu(r))),
        wrong("another unit", r -> Request.reply(r.transaction, 0, r.unit + 1, pdu(r))),
        wrong("another function", r -> r.reply(RawReplies.function(3))),
        wrong("unknown function", r -> r.reply(RawReplies.function(0x2B))),
        wrong("exception to another function", r -> r.reply(new byte[] {(byte) 0x83, 2})),
        wrong("empty frame", r -> Request.reply(r.transaction, 0, r.unit, new byte[0])));
  }

  private static byte[] pdu(Request request) {
    return Arrays.copyOfRange(image(request, 44), 7, 7 + 2 + 88);
  }

  private static byte[] ones(int length) {
    byte[] bytes = new byte[length];
    Arrays.fill(bytes, (byte) 0xFF);
    return bytes;
  }

  private static Arguments wrong(String name, Function<Request, byte[]> reply) {
    return Arguments.of(name, reply);
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("wrongReplies")
  void aWrongReplyIsNoImageAndTheConnectionIsReopened(
      String name, Function<Request, byte[]> reply) {
    slave.script((request, connection) -> connection.send(reply.apply(request)));
    TankImage image = read();
    assertFalse(image.link().up(), name);
    assertEquals(Map.of(), goodPoints(image), name);
    slave.script((request, connection) -> connection.send(slave.answer(request)));
    assertTrue(read().link().up(), name);
    assertEquals(3, slave.accepted(), name);
    assertEquals(2, slave.requests.size(), name);
  }

  private static Map<Point, Double> goodPoints(TankImage image) {
    return image.points().entrySet().stream()
        .filter(e -> e.getValue().quality().good())
        .collect(Collectors.toMap(Map.Entry::getKey, e -> e.getValue().value()));
  }

  @Test
  void aReplyThatCarriesTheRightIdsIsAccepted() {
    // Control of the wrong replies above: the same frame with nothing wrong in it.
    slave.script((request, connection) -> connection.send(image(request, 44)));
    assertTrue(read().link().up());
  }

  @Test
  void aReplyInManySegmentsIsPutTogether() {
    slave.input[HEARTBEAT] = 77;
    slave.script(
        (request, connection) -> {
          connection.socket().setTcpNoDelay(true);
          for (byte octet : slave.answer(request)) {
            connection.send(new byte[] {octet});
          }
        });
    assertEquals(77, read().words().orElseThrow().plcHeartbeat());
  }

  /** Source: Modbus Application Protocol Specification V1.1b3, section 7, as in the table. */
  @ParameterizedTest
  @MethodSource("exceptions")
  void everyExceptionIsNamedAndCostsTheItemsNotTheLink(ReferenceTable.Row row) {
    int code = Integer.parseInt(row.text("code"), 16);
    slave.script(
        (request, connection) ->
            connection.send(
                request.reply(new byte[] {(byte) (request.function | 0x80), (byte) code})));
    ProbeReport report = line.probe(ONE, AT, within(Duration.ofSeconds(5)));
    boolean deviceAway = row.text("name").startsWith("gateway");
    assertEquals(!deviceAway, report.image().link().up());
    String said =
        deviceAway ? report.image().link().reason() : report.items().get(0).raw().detail();
    assertTrue(said.endsWith(": " + row.text("name")), said);
    assertEquals(
        deviceAway ? Reason.NO_LINK : Reason.ITEM_MISSING,
        report.image().points().get(Point.LEVEL).quality().reason());
    assertEquals(2, slave.accepted(), "an exception is an answer");
  }

  static Stream<ReferenceTable.Row> exceptions() {
    return ReferenceTable.load("modbus-exceptions.csv").stream();
  }
}
