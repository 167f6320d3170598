package org.bathwarden.simulator.wire;

import java.util.Arrays;
import java.util.Optional;
import java.util.function.ToIntFunction;
import java.util.stream.IntStream;
import org.eclipse.milo.opcua.sdk.server.OpcUaServer;
import org.eclipse.milo.opcua.sdk.server.servicesets.impl.DefaultAttributeServiceSet;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteValue;
import org.eclipse.milo.opcua.stack.transport.server.ServiceRequestContext;

/** Counts every Write request once for each tank it names, before the library may refuse it. */
final class CountedWrites extends DefaultAttributeServiceSet {

  private final Served served;
  private final ToIntFunction<NodeId> tankOf;

  CountedWrites(OpcUaServer server, Served served, ToIntFunction<NodeId> tankOf) {
    super(server);
    this.served = served;
    this.tankOf = tankOf;
  }

  @Override
  public WriteResponse onWrite(ServiceRequestContext context, WriteRequest request)
      throws UaException {
    WriteValue[] values = Optional.ofNullable(request.getNodesToWrite()).orElse(new WriteValue[0]);
    IntStream tanks =
        values.length == 0
            ? IntStream.of(WireCounter.NO_TANK)
            : Arrays.stream(values).map(WriteValue::getNodeId).mapToInt(tankOf).distinct();
    tanks.forEach(served::countWrite);
    return super.onWrite(context, request);
  }
}
