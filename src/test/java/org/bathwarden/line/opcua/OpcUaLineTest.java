package org.bathwarden.line.opcua;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.InetAddress;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicReference;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.bathwarden.line.Await;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.TankImage;
import org.bathwarden.line.TestFloor;
import org.bathwarden.line.WriteResult;
import org.bathwarden.line.opcua.OpcUaSettings.Login;
import org.bathwarden.line.opcua.OpcUaSettings.PkiSettings;
import org.bathwarden.line.opcua.OpcUaSettings.Security;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Quality.Grade;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.wire.OpcUaSecurity;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What only OPC UA has: namespaces, statuses, certificates, logins. */
class OpcUaLineTest {

  private static final TankId ONE = new TankId("one");
  private static final Instant AT = Instant.parse("2026-05-04T06:00:00Z");
  private static final ItemMap MAP = ItemMap.opcUaDefault(1, "urn:bathwarden:line");
  private static final Security NONE = new Security.Unprotected();
  private static final Login ANYONE = new Login.Anonymous();

  @TempDir Path temp;

  private Optional<SimulatedLine> simulated = Optional.empty();
  private Optional<OpcUaLine> line = Optional.empty();

  @AfterEach
  void close() {
    line.ifPresent(OpcUaLine::close);
    simulated.ifPresent(SimulatedLine::close);
  }

  private SimulatedLine serve(Optional<OpcUaSecurity> security) {
    SimulatedLine served =
        SimulatedLine.open(
            new TestFloor(1),
            TestFloor.configs(1),
            new SimulatedLine.Options(
                Optional.empty(),
                Optional.empty(),
                Optional.of(0),
                InetAddress.getLoopbackAddress(),
                security));
    simulated = Optional.of(served);
    return served;
  }

  private static OpcUaSettings settings(SimulatedLine served, Security security, Login login) {
    return new OpcUaSettings(
        served.opcUaUrl(),
        security,
        login,
        Duration.ofSeconds(20),
        Duration.ofSeconds(2),
        new Backoff(Duration.ofNanos(1), Duration.ofNanos(1)),
        Map.of(ONE, MAP));
  }

  private void open(SimulatedLine served, Security security, Login login) throws IOException {
    line.ifPresent(OpcUaLine::close);
    OpcUaSettings settings = settings(served, security, login);
    assertEquals(List.of(), settings.problems());
    line = Optional.of(OpcUaLine.open(settings));
  }

  private TankImage read() {
    Deadline by = new Deadline(System.nanoTime() + Duration.ofSeconds(25).toNanos());
    return line.orElseThrow().read(List.of(ONE), AT, by).get(0);
  }

  private TankImage readUntilUp() {
    AtomicReference<TankImage> image = new AtomicReference<>(read());
    Await.until(() -> image.get().link().up() || again(image));
    return image.get();
  }

  private boolean again(AtomicReference<TankImage> image) {
    image.set(read());
    return image.get().link().up();
  }

  @Test
  void theNamespaceIsFoundWhereverARestartPutsIt() throws IOException {
    SimulatedLine served = serve(Optional.empty());
    open(served, NONE, ANYONE);
    assertTrue(readUntilUp().words().isPresent());
    for (int others : new int[] {3, 0, 1}) {
      served.restartOpcUa(others);
      TankImage image = readUntilUp();
      assertTrue(image.words().orElseThrow().provesWiring(1), others + " namespaces before");
      assertEquals(800, image.points().get(Point.LEVEL).orNaN());
    }
  }

  private void open(String url, ItemMap map) throws IOException {
    line = Optional.of(OpcUaLine.open(OpcUaSettings.usual(url, NONE, ANYONE, Map.of(ONE, map))));
  }

  @Test
  void aNamespaceThatIsNotThereIsSaidWithThoseThatAre() throws IOException {
    SimulatedLine served = serve(Optional.empty());
    open(served.opcUaUrl(), ItemMap.opcUaDefault(1, "urn:other"));
    readUntilUp();
    Deadline by = new Deadline(System.nanoTime() + Duration.ofSeconds(10).toNanos());
    List<String> advice = line.orElseThrow().probe(ONE, AT, by).advice();
    String last = advice.get(advice.size() - 1);
    assertTrue(last.startsWith("no namespace urn:other; the server has http://"), last);
    assertTrue(last.contains(", urn:bathwarden:line"), last);
  }

  @Test
  void aWrongPathAndAClosedPortAreSaidInWords() throws IOException {
    SimulatedLine served = serve(Optional.empty());
    open(served.opcUaUrl().replace("/line", ""), MAP);
    Await.until(() -> read().link().reason().contains("knows no such path; see endpoint"));
    served.close();
    simulated = Optional.empty();
    Await.until(
        () -> read().link().reason().contains("Bad_ConnectionRejected: Connection refused"));
  }

  @Test
  void aNodeThatVanishesCostsItselfAndComesBack() throws IOException {
    SimulatedLine served = serve(Optional.empty());
    open(served, NONE, ANYONE);
    readUntilUp();
    served.faults().wire(Protocol.OPC_UA).itemStatus("Tank1.ph", 0x80340000L);
    TankImage without = read();
    assertEquals(Quality.bad(Reason.ITEM_MISSING), without.points().get(Point.PH).quality());
    assertEquals(800, without.points().get(Point.LEVEL).orNaN());
    assertTrue(without.words().isPresent());
    served.faults().wire(Protocol.OPC_UA).itemStatus("Tank1.ph", 0);
    assertEquals(12.25, read().points().get(Point.PH).orNaN());
  }

  @Test
  void anUncertainPointServesDisplayAndAnUncertainWordNoConclusion() throws IOException {
    SimulatedLine served = serve(Optional.empty());
    open(served, NONE, ANYONE);
    readUntilUp();
    // UncertainLastUsableValue, OPC UA Part 6.
    served.faults().wire(Protocol.OPC_UA).itemStatus("Tank1.ph", 0x40900000L);
    TankImage image = read();
    assertEquals(Grade.UNCERTAIN, image.points().get(Point.PH).quality().grade());
    assertEquals(12.25, image.points().get(Point.PH).value());
    assertTrue(image.words().isPresent());
    served.faults().wire(Protocol.OPC_UA).itemStatus("Tank1.permits", 0x40900000L);
    assertTrue(read().words().isEmpty());
  }

  @Test
  void aFailedSensorIsABadStatus() throws IOException {
    SimulatedLine served = serve(Optional.empty());
    open(served, NONE, ANYONE);
    readUntilUp();
    // BadSensorFailure, OPC UA Part 6.
    served.faults().wire(Protocol.OPC_UA).itemStatus("Tank1.level_l", 0x808C0000L);
    assertEquals(Quality.bad(Reason.BAD_STATUS), read().points().get(Point.LEVEL).quality());
  }

  @Test
  void aPartOfAWriteThatIsRefusedLeavesTheWholeInDoubt() throws IOException {
    SimulatedLine served = serve(Optional.empty());
    open(served, NONE, ANYONE);
    readUntilUp();
    served.faults().wire(Protocol.OPC_UA).itemStatus("Tank1.controller_heartbeat", 0x803B0000L);
    WriteResult result =
        OpcUaWriters.writer(line.orElseThrow(), ONE)
            .write(
                new LineWrite.Beat(ONE, 1, 17),
                new Deadline(System.nanoTime() + Duration.ofSeconds(10).toNanos()));
    assertEquals(WriteResult.UNKNOWN, result);
  }

  // Security

  private Path serverPki() {
    return temp.resolve("server");
  }

  private PkiSettings clientPki() {
    return new PkiSettings(
        temp.resolve("client"), "urn:bathwarden:test", "key word"::toCharArray, true);
  }

  private static Login user(String password) {
    return new Login.User("line", password::toCharArray);
  }

  private void trustClientAtServer() throws IOException {
    Path certificate = temp.resolve("client/own/client.der");
    Files.copy(certificate, serverPki().resolve("trusted/certs/client.der"));
  }

  @Test
  void certificatesMustBeTrustedOnBothSidesThenTheUserMustBeRight() throws Exception {
    SimulatedLine served = serve(Optional.of(new OpcUaSecurity("line", "right", serverPki())));
    Security encrypted = new Security.Basic256Sha256(true, clientPki());
    open(served, encrypted, user("right"));

    String refused = read().link().reason();
    assertTrue(refused.contains("trust it at the server: " + clientPki().folder()), refused);
    try (Pki pki = Pki.open(clientPki())) {
      assertTrue(refused.contains("client.der, thumbprint " + pki.ownThumbprint()), refused);
    }
    trustClientAtServer();
    Await.until(() -> !read().link().reason().equals(refused));

    String unknown = read().link().reason();
    assertTrue(unknown.contains("certificate is not accepted"), unknown);
    try (Pki pki = Pki.open(clientPki())) {
      assertEquals(1, pki.rejected().size());
      assertTrue(unknown.contains("thumbprint " + pki.rejected().get(0).thumbprint()), unknown);
      assertFalse(pki.trust("00"), "no such thumbprint");
    }
    Matcher move = Pattern.compile("then move (\\S+) to (\\S+)$").matcher(unknown);
    assertTrue(move.find(), unknown);
    Path file = Path.of(move.group(1));
    Files.move(file, Path.of(move.group(2)).resolve(file.getFileName()));
    assertTrue(readUntilUp().words().orElseThrow().provesWiring(1), "without a restart");

    open(served, encrypted, user("wrong"));
    String wrong = read().link().reason();
    assertTrue(wrong.contains("check user name, password"), wrong);
    assertFalse(wrong.contains("right") || wrong.contains("wrong"), "no password in words");
  }

  @Test
  void securityThatTheServerDoesNotOfferIsNamed() throws IOException {
    SimulatedLine served = serve(Optional.empty());
    open(served, new Security.Basic256Sha256(true, clientPki()), ANYONE);
    String reason = read().link().reason();
    assertTrue(reason.contains("no endpoint Basic256Sha256/SignAndEncrypt"), reason);
    assertTrue(reason.contains("the server offers None/None"), reason);
  }

  @Test
  void aLoginThatTheServerDoesNotTakeIsNamed() throws IOException {
    SimulatedLine served = serve(Optional.of(new OpcUaSecurity("line", "right", serverPki())));
    open(served, new Security.Basic256Sha256(true, clientPki()), ANYONE);
    String reason = read().link().reason();
    assertTrue(reason.contains("takes no login Anonymous, only UserName; see user"), reason);
  }

  @Test
  void aLoginWithoutProtectionIsRefused() {
    SimulatedLine served = serve(Optional.empty());
    OpcUaSettings settings = settings(served, NONE, user("right"));
    assertTrue(
        settings.problems().stream().anyMatch(problem -> problem.startsWith("a login needs")));
  }

  @Test
  void theOwnKeyIsMadeOnceAndReadableByItsOwnerOnly() throws Exception {
    String first;
    try (Pki pki = Pki.open(clientPki())) {
      first = pki.ownThumbprint();
    }
    try (Pki pki = Pki.open(clientPki())) {
      assertEquals(first, pki.ownThumbprint());
    }
    Path own = temp.resolve("client/own");
    assertEquals(
        "[OWNER_READ, OWNER_WRITE]",
        Files.getPosixFilePermissions(own.resolve("client.p12")).stream()
            .sorted()
            .toList()
            .toString());
    try (Stream<Path> files = Files.list(own)) {
      assertEquals(2, files.count(), "key store and certificate, nothing left over");
    }
  }

  @Test
  void aWrongKeyWordIsSaidInWords() throws Exception {
    Pki.open(clientPki()).close();
    PkiSettings wrong =
        new PkiSettings(temp.resolve("client"), "urn:bathwarden:test", "x"::toCharArray, true);
    try {
      Pki.open(wrong).close();
      throw new AssertionError("opened with a wrong password");
    } catch (IOException e) {
      String words = String.valueOf(e.getMessage());
      assertTrue(words.contains("client.p12: ") && words.endsWith("; see pki_password"), words);
    }
  }

  @Test
  void aPkiFolderThatCannotBeIsSaidWithItsReason() throws Exception {
    Path file = Files.writeString(temp.resolve("in-the-way"), "");
    try {
      Pki.open(new PkiSettings(file, "urn:bathwarden:test", "x"::toCharArray, true)).close();
      throw new AssertionError("a file taken for a folder");
    } catch (IOException e) {
      assertEquals(
          "PKI folder " + file + ": " + file + " is a file, not a folder; see pki", e.getMessage());
    }
  }

  @Test
  void nodesOnAModbusMapAndTheOtherWayRoundAreRefused() {
    OpcUaSettings settings =
        OpcUaSettings.usual("opc.tcp://h:1/p", NONE, ANYONE, Map.of(ONE, ItemMap.modbusDefault(1)));
    assertTrue(settings.problems().contains("one: level_l is a register, but the line is OPC UA"));
    assertEquals(
        List.of(),
        OpcUaSettings.usual("opc.tcp://h:1/p", NONE, ANYONE, Map.of(ONE, MAP)).problems());
    assertTrue(
        OpcUaSettings.usual("http://h", NONE, ANYONE, Map.of()).problems().get(0).contains("url"));
  }
}
