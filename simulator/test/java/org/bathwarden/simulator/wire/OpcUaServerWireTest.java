package org.bathwarden.simulator.wire;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.net.InetAddress;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.KeyPair;
import java.security.cert.X509Certificate;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.ItemType;
import org.bathwarden.simulator.plc.ToPlc;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UShort;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateBuilder;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateGenerator;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The OPC UA server with a client over a real socket. Status codes:
 * reference/opcua-status-codes.csv.
 */
class OpcUaServerWireTest {

  private final FakeMemory memory = new FakeMemory();
  private final WireCounter counter = new WireCounter();
  private final WireFaults faults = new WireFaults();
  private final OpcUaServerWire server = open(Optional.empty());

  private OpcUaServerWire open(Optional<OpcUaSecurity> security) {
    return new OpcUaServerWire(
        memory, counter, faults, InetAddress.getLoopbackAddress(), 0, security);
  }

  @AfterEach
  void close() {
    server.close();
  }

  @Test
  void everyItemHasItsNameAndItsExactType() throws Exception {
    memory.show(0, FromPlc.CHECK_F32, Float.floatToIntBits(12345.678f));
    memory.show(0, FromPlc.CONCENTRATE_TOTAL_ML, 4294967295L);
    memory.show(1, FromPlc.LEVEL_L, Float.floatToIntBits(Float.NaN));
    try (OpcUaLineClient client = new OpcUaLineClient(server.url())) {
      for (String tank : List.of("Tank1", "Tank2")) {
        for (FromPlc item : FromPlc.values()) {
          assertTyped(item.type(), client, tank + "." + item.itemName());
        }
        for (ToPlc item : ToPlc.values()) {
          assertTyped(item.type(), client, tank + "." + item.itemName());
        }
      }
      List<DataValue> values =
          client.read("Tank1.check_f32", "Tank1.concentrate_total_ml", "Tank2.level_l");
      assertEquals(12345.678f, values.get(0).getValue().getValue());
      assertEquals(Unsigned.uint(4294967295L), values.get(1).getValue().getValue());
      assertEquals(Float.NaN, values.get(2).getValue().getValue());
      assertEquals(0, counter.writes());
      assertTrue(counter.reads(Protocol.OPC_UA, 0) > 0);
    }
  }

  @Test
  void oneWriteIsAppliedAsAWholeAndReadBack() throws Exception {
    try (OpcUaLineClient client = new OpcUaLineClient(server.url())) {
      List<StatusCode> results =
          client.write("Tank2", Map.of(ToPlc.HEARTBEAT_EPOCH, 17L, ToPlc.CONTROLLER_HEARTBEAT, 5L));
      assertEquals(List.of(StatusCode.GOOD, StatusCode.GOOD), results);
      assertEquals(17, memory.written(1).get(ToPlc.HEARTBEAT_EPOCH));
      assertEquals(5, memory.written(1).get(ToPlc.CONTROLLER_HEARTBEAT));
      assertEquals(17, client.number("Tank2.heartbeat_epoch"));
      assertEquals(1, counter.writes(1), "one request");
      assertEquals(0, counter.writes(0));
    }
  }

  @Test
  void whatIsNoContractWriteIsRefusedAndChangesNothing() throws Exception {
    try (OpcUaLineClient client = new OpcUaLineClient(server.url())) {
      DataValue seven = DataValue.valueOnly(Variant.of(Unsigned.uint(7)));
      assertStatus(
          "BadTypeMismatch", client.write("Tank1.abandon_to", DataValue.valueOnly(Variant.of(7))));
      assertStatus(
          "BadTypeMismatch",
          client.write("Tank1.abandon_to", DataValue.valueOnly(Variant.of(Unsigned.ushort(7)))));
      assertStatus("BadUserAccessDenied", client.write("Tank1.order_taken", seven));
      assertStatus("BadNodeIdUnknown", client.write("Tank3.abandon_to", seven));
      assertStatus(
          "BadWriteNotSupported",
          client.write(
              "Tank1.abandon_to",
              new DataValue(Variant.of(Unsigned.uint(7)), StatusCode.GOOD, DateTime.now())));
      assertEquals(0, memory.written(0).get(ToPlc.ABANDON_TO));
      assertEquals(4, counter.writes(0), "refused writes are writes too");
      assertEquals(1, counter.writes(Protocol.OPC_UA, WireCounter.NO_TANK));
    }
  }

  @Test
  void aMissingNodeCostsThatItemOnlyAndAnUncertainOneKeepsItsValue() throws Exception {
    memory.show(0, FromPlc.PERMITS, 255);
    try (OpcUaLineClient client = new OpcUaLineClient(server.url())) {
      faults.itemStatus("Tank1.ph", statusCode("BadNodeIdUnknown"));
      faults.itemStatus("Tank1.permits", statusCode("Uncertain"));
      List<DataValue> values =
          client.read("Tank1.ph", "Tank1.permits", "Tank1.faults", "Tank1.no_such_item");
      assertStatus("BadNodeIdUnknown", values.get(0).getStatusCode());
      assertStatus("Uncertain", values.get(1).getStatusCode());
      assertEquals(Unsigned.ushort(255), values.get(1).getValue().getValue());
      assertStatus("Good", values.get(2).getStatusCode());
      assertStatus("BadNodeIdUnknown", values.get(3).getStatusCode());
      faults.itemStatus("Tank1.ph", 0);
      assertStatus("Good", client.read("Tank1.ph").get(0).getStatusCode());
    }
  }

  @Test
  void aRestartMovesTheNamespaceAndKeepsThePort() throws Exception {
    String url = server.url();
    int before;
    try (OpcUaLineClient client = new OpcUaLineClient(url)) {
      before = client.namespace();
    }
    server.restart(2);
    assertEquals(url, server.url());
    try (OpcUaLineClient client = new OpcUaLineClient(url)) {
      assertEquals(before + 2, client.namespace());
      assertStatus("Good", client.read("Tank1.level_l").get(0).getStatusCode());
    }
  }

  @Test
  void faultsOfTheWireStrike() throws Exception {
    try (OpcUaLineClient client = new OpcUaLineClient(server.url())) {
      faults.next(WireFault.DEVICE_FAILURE, 1);
      assertStatus("BadDeviceFailure", client.read("Tank1.ph").get(0).getStatusCode());
      faults.set(WireFault.ACK_IGNORED);
      assertEquals(List.of(StatusCode.GOOD), client.write("Tank1", Map.of(ToPlc.ABANDON_TO, 9L)));
      assertEquals(0, memory.written(0).get(ToPlc.ABANDON_TO));
      faults.clear(WireFault.ACK_IGNORED);
      faults.replyDelay(Duration.ofMillis(300));
      long start = System.nanoTime();
      assertStatus("Good", client.read("Tank1.ph").get(0).getStatusCode());
      assertTrue(System.nanoTime() - start >= 300_000_000L);
      faults.replyDelay(Duration.ZERO);
      faults.set(WireFault.HALF_OPEN);
      assertThrows(UaException.class, () -> client.read("Tank1.ph"));
      faults.clear(WireFault.HALF_OPEN);
    }
  }

  @Test
  void aLostReplyIsNotALostWrite() throws Exception {
    try (OpcUaLineClient client = new OpcUaLineClient(server.url())) {
      faults.next(WireFault.LOST_REPLY, 1);
      assertThrows(UaException.class, () -> client.write("Tank1", Map.of(ToPlc.ABANDON_TO, 9L)));
      assertEquals(9, memory.written(0).get(ToPlc.ABANDON_TO));
    }
  }

  @Test
  void aCutLinkClosesAndComesBack() throws Exception {
    try (OpcUaLineClient client = new OpcUaLineClient(server.url())) {
      faults.set(WireFault.LINK_CUT);
      assertThrows(UaException.class, () -> client.read("Tank1.ph"));
      assertThrows(UaException.class, () -> new OpcUaLineClient(server.url()).close());
      faults.clear(WireFault.LINK_CUT);
      try (OpcUaLineClient again = new OpcUaLineClient(server.url())) {
        assertStatus("Good", again.read("Tank1.ph").get(0).getStatusCode());
      }
    }
  }

  @Test
  void aSecuredEndpointWantsATrustedCertificateAndThePassword(@TempDir Path pki) throws Exception {
    OpcUaServerWire secured = open(Optional.of(new OpcUaSecurity("line", "hot-alkali", pki)));
    try {
      KeyPair keys = SelfSignedCertificateGenerator.generateRsaKeyPair(2048);
      String uri = "urn:bathwarden:test-client";
      X509Certificate certificate =
          new SelfSignedCertificateBuilder(keys)
              .setCommonName("Line client")
              .setApplicationUri(uri)
              .build();
      assertThrows(
          UaException.class,
          () -> connect(secured, keys, certificate, uri, "hot-alkali").close(),
          "not trusted yet");
      Files.write(pki.resolve("trusted/certs/client.der"), certificate.getEncoded());
      OpcUaLineClient client = whenTrusted(secured, keys, certificate, uri);
      memory.show(0, FromPlc.PERMITS, 255);
      assertEquals(255, client.number("Tank1.permits"));
      client.close();
      assertThrows(
          UaException.class, () -> connect(secured, keys, certificate, uri, "wrong").close());
      assertThrows(
          UaException.class,
          () -> new OpcUaLineClient(secured.url()).close(),
          "nothing without security beside it");
    } finally {
      secured.close();
    }
  }

  /** The trust list is watched by the library and follows the folder after a moment. */
  private static OpcUaLineClient whenTrusted(
      OpcUaServerWire server, KeyPair keys, X509Certificate certificate, String uri)
      throws UaException {
    for (int left = 20; ; left--) {
      try {
        return connect(server, keys, certificate, uri, "hot-alkali");
      } catch (UaException e) {
        if (left == 0) {
          throw e;
        }
      }
    }
  }

  private static OpcUaLineClient connect(
      OpcUaServerWire server,
      KeyPair keys,
      X509Certificate certificate,
      String uri,
      String password)
      throws UaException {
    return OpcUaLineClient.secured(server.url(), keys, certificate, uri, "line", password);
  }

  private static void assertTyped(ItemType type, OpcUaLineClient client, String item)
      throws UaException {
    Class<?> expected =
        switch (type) {
          case F32 -> Float.class;
          case U16 -> UShort.class;
          case U32 -> UInteger.class;
        };
    assertInstanceOf(expected, client.read(item).get(0).getValue().getValue(), item);
  }

  private static void assertStatus(String name, StatusCode code) {
    assertEquals(statusCode(name), code.getValue() & 0xFFFF_0000L, name);
  }

  private static long statusCode(String name) {
    return Csv.rows("opcua-status-codes.csv").stream()
        .filter(row -> row.get(0).equals(name))
        .mapToLong(row -> Long.parseLong(row.get(2)))
        .findFirst()
        .orElseThrow();
  }
}
