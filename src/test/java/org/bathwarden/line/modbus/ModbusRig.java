package org.bathwarden.line.modbus;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.LineProbe;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.LineStopper;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.Place;
import org.bathwarden.line.SimulatedRig;
import org.bathwarden.line.WordOrder;
import org.bathwarden.simulator.SimulatedLine;
import org.bathwarden.simulator.wire.Protocol;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Assertions;

/** The adapter on the simulated PLC, over one of its Modbus wires. */
final class ModbusRig extends SimulatedRig {

  private final Deque<ModbusLine> lines = new ArrayDeque<>();

  private final Function<SimulatedLine, ModbusRoute> route;

  ModbusRig(
      Protocol protocol,
      SimulatedLine.Options options,
      Function<SimulatedLine, ModbusRoute> route) {
    super(protocol, options);
    this.route = route;
  }

  @Override
  public ItemMap map(int tankNumber) {
    return ItemMap.modbusDefault(tankNumber);
  }

  @Override
  public Place nowhere(Encoding encoding) {
    return new Place.Register(Place.Table.HOLDING, 1, 9_000, encoding, WordOrder.ABCD);
  }

  @Override
  public Place as(Item item, Encoding encoding) {
    return new Place.Register(Place.Table.INPUT, 1, item.offset(), encoding, WordOrder.ABCD);
  }

  @Override
  public LineReader open(Map<TankId, ItemMap> tanks) {
    ModbusSettings settings =
        new ModbusSettings(
            route.apply(line()),
            Duration.ofSeconds(10),
            REQUEST_TIMEOUT,
            Duration.ZERO,
            new Backoff(Duration.ofNanos(1), Duration.ofNanos(1)),
            tanks);
    Assertions.assertEquals(List.of(), settings.problems());
    lines.push(ModbusLine.open(settings));
    return lines.element();
  }

  @Override
  public LineProbe probe() {
    return lines.element();
  }

  @Override
  public LineWriter writer(TankId tank) {
    return ModbusWriters.writer(lines.element(), tank);
  }

  @Override
  public LineStopper stopper(TankId tank) {
    return ModbusWriters.stopper(lines.element(), tank);
  }
}
