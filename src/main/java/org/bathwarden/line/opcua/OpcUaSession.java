package org.bathwarden.line.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.bathwarden.line.Place;
import org.eclipse.milo.opcua.sdk.client.OpcUaClient;
import org.eclipse.milo.opcua.sdk.client.SessionActivityListener;
import org.eclipse.milo.opcua.sdk.client.UaSession;
import org.eclipse.milo.opcua.stack.core.AttributeId;
import org.eclipse.milo.opcua.stack.core.NamespaceTable;
import org.eclipse.milo.opcua.stack.core.types.UaRequestMessageType;
import org.eclipse.milo.opcua.stack.core.types.UaResponseMessageType;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UShort;
import org.eclipse.milo.opcua.stack.core.types.enumerated.TimestampsToReturn;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadValueId;
import org.eclipse.milo.opcua.stack.core.types.structured.RequestHeader;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteValue;

/**
 * One session, from its opening to the first request that brought no reply. Each request carries
 * this session's token: should the library rebuild its session behind our back, the server refuses
 * the request instead of carrying out an old write.
 */
final class OpcUaSession {

  private final OpcUaClient client;
  private final NodeId token;
  private final Map<Place.Node, Optional<NodeId>> nodes = new HashMap<>();
  private NamespaceTable namespaces;
  private volatile boolean lost;
  private boolean answered;

  private OpcUaSession(OpcUaClient client, NodeId token, NamespaceTable namespaces) {
    this.client = client;
    this.token = token;
    this.namespaces = namespaces;
  }

  /** Opens channel and session and reads the namespaces, in the library's threads. */
  static CompletableFuture<OpcUaSession> open(OpcUaClient client) {
    return client
        .connectAsync()
        .thenCompose(
            connected ->
                connected
                    .readNamespaceTableAsync()
                    .thenCombine(
                        connected.getSessionAsync(),
                        (table, session) ->
                            new OpcUaSession(client, session.getAuthenticationToken(), table)))
        .thenApply(OpcUaSession::watched);
  }

  private OpcUaSession watched() {
    client.addSessionActivityListener(
        new SessionActivityListener() {
          @Override
          public void onSessionInactive(UaSession session) {
            lost = true;
          }
        });
    return this;
  }

  /** Whether the library has noticed the loss of this session. */
  boolean lost() {
    return lost;
  }

  /** Whether it has ever answered a read; before that nothing may be written over it. */
  boolean answered() {
    return answered;
  }

  /** The node of a place; empty if its namespace or identifier is unknown here. */
  Optional<NodeId> node(Place.Node place) {
    return nodes.computeIfAbsent(place, this::resolve);
  }

  /** Why {@link #node} is empty. */
  String unknown(Place.Node place) {
    return namespaces.getIndex(place.namespaceUri()) == null
        ? "no namespace " + place.namespaceUri()
        : "bad identifier";
  }

  /** The namespaces of the server by their URIs, as last read. */
  List<String> namespaces() {
    return List.of(namespaces.toArray());
  }

  private Optional<NodeId> resolve(Place.Node place) {
    UShort index = namespaces.getIndex(place.namespaceUri());
    return index == null
        ? Optional.empty()
        : Optional.ofNullable(NodeId.parseOrNull("ns=" + index + ";" + place.identifier()));
  }

  /** Looks the namespaces up again: after a download to the PLC they may have moved. */
  void resolveAnew(long withinMs) throws OpcUaFault {
    namespaces = await(client.readNamespaceTableAsync(), withinMs);
    nodes.clear();
  }

  /** The values of {@code ids} in one Read, as old as 0 ms. */
  List<DataValue> read(List<NodeId> ids, long withinMs) throws OpcUaFault {
    ReadValueId[] wanted =
        ids.stream()
            .map(id -> new ReadValueId(id, AttributeId.Value.uid(), null, QualifiedName.NULL_VALUE))
            .toArray(ReadValueId[]::new);
    UaResponseMessageType response =
        send(new ReadRequest(header(withinMs), 0.0, TimestampsToReturn.Source, wanted), withinMs);
    DataValue[] values = response instanceof ReadResponse read ? read.getResults() : null;
    if (values == null || values.length != ids.size()) {
      throw OpcUaFault.noAnswer("the reply has another length or kind than asked for");
    }
    answered = true;
    return Arrays.asList(values);
  }

  /** Writes in one Write; the status of each, in order. */
  List<StatusCode> write(List<NodeId> ids, List<DataValue> values, long withinMs)
      throws OpcUaFault {
    WriteValue[] wanted = new WriteValue[ids.size()];
    for (int i = 0; i < wanted.length; i++) {
      wanted[i] = new WriteValue(ids.get(i), AttributeId.Value.uid(), null, values.get(i));
    }
    UaResponseMessageType response = send(new WriteRequest(header(withinMs), wanted), withinMs);
    StatusCode[] results = response instanceof WriteResponse write ? write.getResults() : null;
    if (results == null || results.length != ids.size()) {
      throw OpcUaFault.noAnswer("the reply has another length or kind than written");
    }
    return Arrays.asList(results);
  }

  /** Gives the session back, without waiting for it. */
  void close() {
    lost = true;
    client.disconnectAsync();
  }

  /** Gives the session back and waits for it, at most so long. */
  void close(long withinMs) {
    lost = true;
    try {
      await(client.disconnectAsync(), withinMs);
    } catch (OpcUaFault fault) {
      // The server ends the session by its own timeout.
      return;
    }
  }

  private RequestHeader header(long withinMs) {
    return client.newRequestHeader(token, uint(withinMs));
  }

  private UaResponseMessageType send(UaRequestMessageType request, long withinMs)
      throws OpcUaFault {
    return await(client.getTransport().sendRequestMessage(request), withinMs);
  }

  private static <T> T await(CompletableFuture<T> reply, long withinMs) throws OpcUaFault {
    try {
      return reply.get(withinMs, TimeUnit.MILLISECONDS);
    } catch (TimeoutException e) {
      throw OpcUaFault.noAnswer("no answer within " + withinMs + " ms");
    } catch (ExecutionException e) {
      throw OpcUaFault.noAnswer(Failures.words(e));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw OpcUaFault.noAnswer("interrupted");
    }
  }
}
