package org.bathwarden.line.opcua;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.time.Duration;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineContractSuite;
import org.bathwarden.line.LineProbe;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.LineRig;
import org.bathwarden.line.LineStopper;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.Place;
import org.bathwarden.line.SimulatedRig;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Assertions;

/** The contract over OPC UA, against the simulated PLC. */
class OpcUaContractTest extends LineContractSuite {

  private static final String URI = "urn:bathwarden:line";

  @Override
  protected LineRig rig() {
    return new Rig();
  }

  private static final class Rig extends SimulatedRig {

    private final Deque<OpcUaLine> lines = new ArrayDeque<>();

    Rig() {
      super(
          Protocol.OPC_UA,
          new SimulatedLine.Options(
              Optional.empty(),
              Optional.empty(),
              Optional.of(0),
              InetAddress.getLoopbackAddress(),
              Optional.empty()));
    }

    @Override
    public ItemMap map(int tankNumber) {
      return ItemMap.opcUaDefault(tankNumber, URI);
    }

    @Override
    public Place nowhere(Encoding encoding) {
      return new Place.Node(URI, "s=Line.Nowhere", encoding);
    }

    @Override
    public Place as(Item item, Encoding encoding) {
      return new Place.Node(URI, "s=Line.Tank1." + item.contractName(), encoding);
    }

    @Override
    public LineReader open(Map<TankId, ItemMap> tanks) {
      OpcUaSettings settings =
          new OpcUaSettings(
              line().opcUaUrl(),
              new OpcUaSettings.Security.Unprotected(),
              new OpcUaSettings.Login.Anonymous(),
              Duration.ofSeconds(10),
              REQUEST_TIMEOUT,
              new Backoff(Duration.ofNanos(1), Duration.ofNanos(1)),
              tanks);
      Assertions.assertEquals(List.of(), settings.problems());
      try {
        lines.push(OpcUaLine.open(settings));
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
      return lines.element();
    }

    @Override
    public LineProbe probe() {
      return lines.element();
    }

    @Override
    public LineWriter writer(TankId tank) {
      return OpcUaWriters.writer(lines.element(), tank);
    }

    @Override
    public LineStopper stopper(TankId tank) {
      return OpcUaWriters.stopper(lines.element(), tank);
    }
  }
}
