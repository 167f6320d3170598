package org.bathwarden.simulator.wire;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ushort;

import java.security.KeyPair;
import java.security.cert.X509Certificate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.simulator.plc.ItemType;
import org.bathwarden.simulator.plc.ToPlc;
import org.eclipse.milo.opcua.sdk.client.OpcUaClient;
import org.eclipse.milo.opcua.sdk.client.identity.UsernameProvider;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.security.SecurityPolicy;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.enumerated.TimestampsToReturn;

/** An OPC UA client that reads and writes items of the line by name. */
public final class OpcUaLineClient implements AutoCloseable {

  private final OpcUaClient client;
  private final int namespace;

  /** Connects without security, with a short request timeout. */
  public OpcUaLineClient(String url) throws UaException {
    this(
        OpcUaClient.create(
            url,
            endpoints ->
                endpoints.stream()
                    .filter(e -> SecurityPolicy.None.getUri().equals(e.getSecurityPolicyUri()))
                    .findFirst(),
            transport -> {},
            config -> config.setRequestTimeout(uint(3000))));
  }

  private OpcUaLineClient(OpcUaClient client) throws UaException {
    this.client = client;
    client.connect();
    this.namespace =
        Optional.ofNullable(client.readNamespaceTable().getIndex("urn:bathwarden:line"))
            .orElseThrow()
            .intValue();
  }

  static OpcUaLineClient secured(
      String url,
      KeyPair keys,
      X509Certificate certificate,
      String applicationUri,
      String username,
      String password)
      throws UaException {
    return new OpcUaLineClient(
        OpcUaClient.create(
            url,
            endpoints ->
                endpoints.stream()
                    .filter(
                        e ->
                            SecurityPolicy.Basic256Sha256.getUri().equals(e.getSecurityPolicyUri()))
                    .findFirst(),
            transport -> transport.setConnectTimeout(uint(3000)),
            config ->
                config
                    .setApplicationName(LocalizedText.english("Line client"))
                    .setApplicationUri(applicationUri)
                    .setKeyPair(keys)
                    .setCertificate(certificate)
                    .setCertificateChain(new X509Certificate[] {certificate})
                    .setIdentityProvider(new UsernameProvider(username, password))
                    .setRequestTimeout(uint(5000))));
  }

  int namespace() {
    return namespace;
  }

  /** Reads items such as {@code Tank1.level_l}, all in one Read with maxAge 0. */
  public List<DataValue> read(String... items) throws UaException {
    List<NodeId> ids = new ArrayList<>();
    for (String item : items) {
      ids.add(id(item));
    }
    return client.readValues(0, TimestampsToReturn.Both, ids);
  }

  long number(String item) throws UaException {
    return ((Number) read(item).get(0).getValue().getValue()).longValue();
  }

  /** Writes items of one tank in one Write, without status or timestamps. */
  public List<StatusCode> write(String tank, Map<ToPlc, Long> values) throws UaException {
    List<NodeId> ids = new ArrayList<>();
    List<DataValue> data = new ArrayList<>();
    values.forEach(
        (item, value) -> {
          ids.add(id(tank + "." + item.itemName()));
          Object typed = item.type() == ItemType.U16 ? ushort(value.intValue()) : uint(value);
          data.add(DataValue.valueOnly(Variant.of(typed)));
        });
    return client.writeValues(ids, data);
  }

  StatusCode write(String item, DataValue value) throws UaException {
    return client.writeValues(List.of(id(item)), List.of(value)).get(0);
  }

  private NodeId id(String item) {
    return new NodeId(namespace, "Line." + item);
  }

  @Override
  public void close() throws UaException {
    client.disconnect();
  }
}
